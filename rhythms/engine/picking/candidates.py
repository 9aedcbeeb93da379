"""Fills to choose from: drawn by the prior, within reach at a tempo, and how plausible they are."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Fill
from rhythms.engine.fills.likeness import stroke_code
from rhythms.engine.fills.playability import looked_at_as_taught
from rhythms.engine.picking.drawn_fills import DrawnFills
from rhythms.engine.picking.pick_space import PickSpace
from rhythms.engine.picking.pick_work import PickWork
from rhythms.engine.prior.drawing import generator
from rhythms.engine.prior.rarer_steps import RarerSteps

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
#: Draws when nothing new is found, so many at a time with milder weights, before giving up.
MORE, ROUNDS = 100, 6


class Candidates:
    """Fills of a space that may be playable at its tempo, as its prior plays at ``dial``.

    They are given by their numbers among the ``drawn`` ones; of ``known`` ones it is kept which
    they are. ``rarer`` steps are drawn less often.
    """

    def __init__(
        self,
        pick_space: PickSpace,
        dial: float,
        seed: int | str,
        known: Iterable[Fill] = (),
        rarer: RarerSteps | None = None,
    ) -> None:
        self.pick_space = pick_space
        self.dial = dial
        self.rarer = rarer
        self.weighted = pick_space.weighted
        self.space = self.weighted.space
        self.drawn = DrawnFills(self.weighted, known, rarer)
        self.random = generator(self.space, seed)
        self.work = PickWork(self.weighted)
        self._playable: dict[int, bool] = {}

    @cached_property
    def all(self) -> list[int] | None:
        """All that may be within reach, where these are few enough to be looked at; else None."""
        paths = self.weighted.paths(WHOLE)
        return None if paths is None else self.drawn.add(paths)

    @cached_property
    def pool(self) -> list[int]:
        """Fills as they come, or all there are."""
        if self.all is not None:
            return self.all
        graph = self.weighted.leaning(self.dial, rarer=self.rarer)
        size = self.work.pool(POOL)
        return self.drawn.add(self.weighted.phrased(graph, size, self.dial, self.random))

    def leaning_away(self, struck: Sequence[Floats], from_others: int) -> list[int]:
        """Fills drawn with those surfaces less likely that others strike at about the time.

        ``struck`` says how near they come to striking, times by surfaces, for each of several such
        draws away from so many others. Fewer draws, or none, where that would be too much.
        """
        if self.all is not None:
            return []
        leant = [each for each in struck if self.work.may_lean(LEANING_POOL, from_others)]
        found, together = [], self.work.leanings_at_once
        for start in range(0, len(leant), together):
            found += self._leaning(np.array(leant[start : start + together]))
        return found

    def _leaning(self, struck: Floats) -> list[int]:
        aversion = AVERSION + self.dial * (HUMAN_AVERSION - AVERSION)
        away = np.exp(-aversion * struck)
        leanings = [away[:, note].take(of, axis=1) for note, of in enumerate(self._places)]
        graph = self.weighted.leaning(self.dial, leanings, self.rarer)
        return self.drawn.add(self.weighted.step_by_step(graph, LEANING_POOL, self.random))

    @cached_property
    def _places(self) -> list[Whole]:
        """The surface of each stroke, as likeness numbers it: one array a note."""
        return [
            np.array([stroke_code(stroke)[0] for stroke in layer.strokes], dtype=np.int64)
            for layer in self.space.graph.layers
        ]

    def more(self) -> Iterator[list[int]]:
        """Further fills, drawn with milder and milder weights, down to none at all."""
        for turn in range(ROUNDS if self.all is None else 0):
            graph = self.weighted.graph(self.dial * (1 - turn / (ROUNDS - 1)))
            size = self.work.pool(MORE)
            yield self.drawn.add(self.weighted.step_by_step(graph, size, self.random))

    def is_playable(self, number: int) -> bool:
        """Whether every move fits at the tempo; no where that would be too much to find out."""
        if number not in self._playable:
            if not self.work.may_look:
                return False
            fill = self.drawn.fill(number)
            tempo, feel = self.pick_space.tempo, self.pick_space.feel
            playable, tried = looked_at_as_taught(fill, self.space.kit, tempo, feel)
            self.work.looked(tried)
            self._playable[number] = playable
        return self._playable[number]
