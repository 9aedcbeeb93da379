"""Likeness of drawn fills to the history and to picks, each worked out once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Fill
from rhythms.engine.fills.likeness import CodedFills, by_rhythm, likeness_between
from rhythms.engine.picking.drawn_fills import DrawnFills

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


class KeptLikeness:
    """Compares drawn fills with others; what was compared is kept.

    The others are numbers of drawn fills, and for the fills of ``history`` -1, -2 and so on.
    """

    def __init__(self, drawn: DrawnFills, history: Sequence[Fill]) -> None:
        self.drawn = drawn
        self._history = [([-1 - at for at in places], of) for places, of in by_rhythm(history)]
        self._row_of: dict[int, int] = {}
        #: The likeness of others to drawn fills; NaN where it is not known yet.
        self._kept = np.empty((0, 0))

    def table(self, others: Sequence[int], numbers: Whole) -> Floats:
        """The likeness of each of ``others`` to each of some drawn fills: others by fills."""
        rows = self._rows(others)
        found = self._known(rows, numbers)
        unknown = np.isnan(found)
        if not unknown.any():
            return found
        # Fills that nothing was compared with yet, and others that were not compared with all.
        strangers = unknown.all(axis=0)
        self._compare(others, numbers[strangers])
        unknown[:, strangers] = False
        late = [other for other, row in zip(others, unknown, strict=True) if row.any()]
        self._compare(late, numbers[unknown.any(axis=0)])
        return self._known(rows, numbers)

    def _rows(self, others: Sequence[int]) -> Whole:
        """The row of each of the others; there is room for all of them and all drawn fills."""
        rows = [self._row_of.setdefault(other, len(self._row_of)) for other in others]
        height, width = self._kept.shape
        if len(self._row_of) > height or len(self.drawn) > width:
            kept = np.full((2 * len(self._row_of), 2 * len(self.drawn)), np.nan)
            kept[:height, :width] = self._kept
            self._kept = kept
        return np.array(rows, dtype=np.int64)

    def _known(self, rows: Whole, numbers: Whole) -> Floats:
        cells = rows[:, None] * self._kept.shape[1] + numbers
        return np.asarray(self._kept.take(cells))

    def _compare(self, others: Sequence[int], numbers: Whole) -> None:
        if not others or not len(numbers):
            return
        coded = self.drawn.coded(numbers)
        for group, some in self._by_rhythm(others):
            rows = np.array([self._row_of[other] for other in group], dtype=np.int64)
            self._kept[rows[:, None], numbers] = likeness_between(some, coded)

    def _by_rhythm(self, others: Sequence[int]) -> list[tuple[list[int], CodedFills]]:
        """Drawn fills together, and those of the history as they are on one rhythm."""
        groups = []
        for group, of in self._history:
            places = [place for place, other in enumerate(group) if other in others]
            if places:
                groups.append(([group[place] for place in places], of.some(places)))
        drawn = [other for other in others if other >= 0]
        return groups + ([(drawn, self.drawn.coded(drawn))] if drawn else [])
