"""Fills to choose from: drawn by the prior, within reach at a tempo, and how plausible they are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Fill
from rhythms.engine.fills.likeness import struck_near
from rhythms.engine.fills.playability import looked_at_as_taught
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.picking.pick_work import PickWork
from rhythms.engine.prior.drawing import generator
from rhythms.engine.prior.human_prior import Prior
from rhythms.engine.prior.weighted_space import WeightedSpace
from rhythms.engine.space.fill_space import FillSpace

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
#: How many fills are looked at each time, drawn as they come and drawn leaning away from what is
#: known; more of them costs time and gains little variety.
POOL, LEANING_POOL = 160, 80
#: Where no more fills than this are within reach, all of them are looked at.
WHOLE = 300
#: How strongly a stroke avoids the surfaces struck at about its time: where anything goes, and
#: where fills are played as drummers play.
AVERSION, HUMAN_AVERSION = 8.0, 3.0
#: Fills drawn as drummers play, of which so many are more plausible than any pick may be less.
MEASURED, PLAUSIBLE = 200, 0.95
#: Draws when nothing new is found, so many at a time with milder weights, before giving up.
MORE, ROUNDS = 100, 6


class Usual(NamedTuple):
    """Of fills that drummers would play: their mean surprise, that of the last of them which is
    plausible, and the mean share of strokes on cymbals and bells.
    """

    surprise: float
    most: float
    brightness: float


class Candidates:
    """Fills of ``space`` that may be playable at ``tempo``, as ``prior`` plays at ``dial``."""

    def __init__(
        self, space: FillSpace, prior: Prior, tempo: float, dial: float, seed: int | str
    ) -> None:
        self.space = space
        self.tempo = tempo
        self.dial = dial
        self.weighted = WeightedSpace(space, prior, tempo)
        self.random = generator(space, seed)
        self.work = PickWork(self.weighted)
        self._near: dict[Fill, Floats] = {}
        self._playable: dict[Fill, bool] = {}
        self._choices: dict[Fill, Whole] = {}
        self._appraised: dict[Fill, tuple[float, float, float]] = {}

    @cached_property
    def all(self) -> list[Fill] | None:
        """All that may be within reach, where these are few enough to be looked at; else None."""
        paths = self.weighted.paths(WHOLE)
        return None if paths is None else self._made(paths)

    @cached_property
    def pool(self) -> list[Fill]:
        """Fills as they come, or all there are."""
        if self.all is not None:
            return self.all
        graphs = self.weighted.graphs(self.dial)
        size = self.work.pool(POOL)
        return self._made(self.weighted.phrased(graphs, size, self.dial, self.random))

    def leaning_away(self, from_fills: Sequence[tuple[Fill, float]]) -> list[Fill]:
        """Fills drawn with those surfaces less likely that others strike at about the time."""
        if self.all is not None or not self.work.may_lean(LEANING_POOL, len(from_fills)):
            return []
        struck = np.zeros((len(self._onsets), len(Surface)))
        for fill, weight in from_fills:
            struck += weight * self._struck_near(fill)
        aversion = AVERSION + self.dial * (HUMAN_AVERSION - AVERSION)
        leanings = [
            np.exp(-aversion * row[places])
            for places, row in zip(self._places, struck, strict=True)
        ]
        graphs = self.weighted.leaning(self.dial, leanings)
        return self._made(self.weighted.step_by_step(graphs, LEANING_POOL, self.random))

    @cached_property
    def _onsets(self) -> list[float]:
        return [float(note.onset) for note in self.space.setting.bar.sounded]

    @cached_property
    def _places(self) -> list[Whole]:
        """The surface of each stroke, numbered: one array a note."""
        number = {surface: place for place, surface in enumerate(Surface)}
        return [
            np.array([number[stroke.surface] for stroke in layer.strokes], dtype=np.int64)
            for layer in self.space.graph.layers
        ]

    def _struck_near(self, fill: Fill) -> Floats:
        if fill not in self._near:
            self._near[fill] = struck_near(fill, self._onsets)
        return self._near[fill]

    def more(self) -> Iterator[list[Fill]]:
        """Further fills, drawn with milder and milder weights, down to none at all."""
        for turn in range(ROUNDS if self.all is None else 0):
            graphs = self.weighted.graphs(self.dial * (1 - turn / (ROUNDS - 1)))
            drawn = self.weighted.step_by_step(graphs, self.work.pool(MORE), self.random)
            yield self._made(drawn)

    def is_playable(self, fill: Fill) -> bool:
        """Whether every move fits at the tempo; no where that would be too much to find out."""
        if fill not in self._playable:
            if not self.work.may_look:
                return False
            playable, tried = looked_at_as_taught(fill, self.space.kit, self.tempo)
            self.work.looked(tried)
            self._playable[fill] = playable
        return self._playable[fill]

    def surprise(self, fills: Sequence[Fill]) -> Floats:
        """How far from what drummers play here, in bits a travelling stroke; phrases count."""
        return self._appraisals(fills)[:, 0]

    def brightness(self, fills: Sequence[Fill]) -> Floats:
        """The share of each fill's strokes that are on cymbals and bells."""
        return self._appraisals(fills)[:, 1]

    def overlong(self, fills: Sequence[Fill]) -> Floats:
        """How many strokes go on with a run that is longer than drummers' on that surface."""
        return self._appraisals(fills)[:, 2]

    def _made(self, drawn: Whole) -> list[Fill]:
        """The fills of some choices, which are kept with them."""
        fills = self.weighted.fills(drawn)
        self._choices.update(zip(fills, drawn, strict=True))
        return fills

    def _appraisals(self, fills: Sequence[Fill]) -> Floats:
        """Surprise, brightness and overlong strokes, each fill's worked out once."""
        new = [fill for fill in fills if fill not in self._appraised]
        if new:
            drawn = np.array([self._choices[fill] for fill in new])
            of = self.weighted
            columns = (of.surprise(drawn), of.brightness(drawn), of.overlong(drawn))
            found = zip(*(column.tolist() for column in columns), strict=True)
            self._appraised.update(zip(new, found, strict=True))
        return np.array([self._appraised[fill] for fill in fills]).reshape(-1, 3)

    @cached_property
    def usual(self) -> Usual:
        """What drummers would play here."""
        graphs, random = self.weighted.graphs(1.0), np.random.default_rng(0)
        drawn = self.weighted.phrased(graphs, self.work.pool(MEASURED), 1.0, random)
        surprise = self.weighted.surprise(drawn)
        return Usual(
            float(surprise.mean()),
            float(np.quantile(surprise, PLAUSIBLE)),
            float(self.weighted.brightness(drawn).mean()),
        )
