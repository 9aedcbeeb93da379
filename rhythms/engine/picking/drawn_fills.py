"""Fills as they are drawn from a space: each is kept once, by number, with what is known of it.

Thousands are looked at for each one that is picked: what is asked of them is worked out in arrays,
and only those that are tried with the hands are made.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Fill
from rhythms.engine.fills.likeness import CodedFills, onsets_of, stroke_code, together_or_none
from rhythms.engine.prior.rarer_steps import RarerSteps
from rhythms.engine.prior.weighted_space import WeightedSpace

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


class DrawnFills:
    """Fills of ``weighted``, numbered as they come; of ``known`` ones it is said which they are."""

    def __init__(
        self,
        weighted: WeightedSpace,
        known: Iterable[Fill] = (),
        rarer: RarerSteps | None = None,
    ) -> None:
        self.weighted = weighted
        self._rarer = rarer
        #: The numbers of those that are known.
        self.known: set[int] = set()
        self._known = {key for fill in known if (key := self._key_of(fill)) is not None}
        self._numbers: dict[bytes, int] = {}
        self._choices = np.empty((0, len(weighted.remembering.layers)), dtype=np.int64)
        self._appraised = np.empty((4, 0))
        self._fills: dict[int, Fill] = {}

    def __len__(self) -> int:
        return len(self._numbers)

    def add(self, choices: Whole) -> list[int]:
        """The numbers of some fills, given by their choices: fills by notes."""
        rows = np.ascontiguousarray(choices)
        fresh, found = [], []
        for row, key in enumerate(_keys(rows)):
            number = self._numbers.get(key)
            if number is None:
                number = self._numbers[key] = len(self._numbers)
                fresh.append(row)
                if key in self._known:
                    self.known.add(number)
            found.append(number)
        self._choices = np.concatenate([self._choices, rows[fresh]])
        return found

    def fill(self, number: int) -> Fill:
        """The fill of a number."""
        if number not in self._fills:
            (self._fills[number],) = self.weighted.fills(self._choices[[number]])
        return self._fills[number]

    def surprise(self, numbers: Whole) -> Floats:
        """How far from what drummers play here, in bits a travelling stroke; phrases count."""
        return np.asarray(self._appraisals[0].take(numbers))

    def brightness(self, numbers: Whole) -> Floats:
        """The share of each fill's strokes that are on cymbals and bells."""
        return np.asarray(self._appraisals[1].take(numbers))

    def overlong(self, numbers: Whole) -> Floats:
        """How many strokes go on with a run that is longer than drummers' on that surface."""
        return np.asarray(self._appraisals[2].take(numbers))

    def rarity(self, numbers: Whole) -> Floats:
        """How much less each fill weighs for the steps that are to be rarer, at most 0."""
        return np.asarray(self._appraisals[3].take(numbers))

    @property
    def _appraisals(self) -> Floats:
        """Surprise, brightness, overlong strokes and rarity of all, each fill's worked out once."""
        new = self._choices[self._appraised.shape[1] :]
        if len(new):
            of = self.weighted
            rarity = of.rarity(new, self._rarer) if self._rarer else np.zeros(len(new))
            found = np.stack([of.surprise(new), of.brightness(new), of.overlong(new), rarity])
            self._appraised = np.concatenate([self._appraised, found], axis=1)
        return self._appraised

    def coded(self, numbers: Sequence[int] | Whole) -> CodedFills:
        """Some of them as they are compared with others."""
        of_strokes = self._codes
        width = of_strokes.shape[2]
        cells = self._choices.take(numbers, axis=0) + np.arange(self._choices.shape[1]) * width
        surface, how, *struck = of_strokes.reshape(len(of_strokes), -1).take(cells, axis=1)
        return CodedFills(self.onsets, surface, how, *struck)

    @property
    def onsets(self) -> Floats:
        """When each note sounds, in quarter lengths."""
        return onsets_of(self.weighted.space.setting.bar)

    @cached_property
    def _codes(self) -> Whole:
        """What likeness looks at in each stroke, numbers: these by notes by choices.

        The third is there where some strike several surfaces.
        """
        layers = self.weighted.remembering.layers
        most = max((len(layer.strokes) for layer in layers), default=0)
        codes = np.zeros((3, len(layers), most), dtype=np.int64)
        for note, layer in enumerate(layers):
            codes[:, note, : len(layer.strokes)] = np.array(
                [stroke_code(stroke) for stroke in layer.strokes]
            ).T
        return codes[:2] if together_or_none(codes[2]) is None else codes

    def _key_of(self, fill: Fill) -> bytes | None:
        """What a fill is known by; None of one that the space cannot have."""
        space = self.weighted.space
        if fill.bar != space.setting.bar:
            return None
        # What the space tells apart: hands only where a rule speaks of them.
        told = fill if space.rule_set.speaks_of_hands else fill.without_hands()
        strokes = zip(space.graph.layers, told.strokes, strict=True)
        choices = [layer.choice_of.get(stroke) for layer, stroke in strokes]
        return None if None in choices else np.array(choices, dtype=np.int64).tobytes()


def _keys(rows: Whole) -> list[bytes]:
    """Each row as bytes."""
    width, whole = rows.shape[1] * rows.itemsize, rows.tobytes()
    return [whole[row * width : (row + 1) * width] for row in range(len(rows))]
