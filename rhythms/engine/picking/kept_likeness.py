"""Likeness of drawn fills to the history and to picks, each worked out once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Fill
from rhythms.engine.fills.likeness import CodedFills, by_rhythm, likeness_between
from rhythms.engine.picking.drawn_fills import DrawnFills

Floats = NDArray[np.float64]


class KeptLikeness:
    """Compares drawn fills with others; what was compared is kept.

    The others are numbers of drawn fills, and for the fills of ``history`` -1, -2 and so on.
    """

    def __init__(self, drawn: DrawnFills, history: Sequence[Fill]) -> None:
        self.drawn = drawn
        self._history = [([-1 - at for at in places], of) for places, of in by_rhythm(history)]
        #: By other one, the likeness to each drawn fill; NaN where it is not known yet.
        self._rows: dict[int, Floats] = {}

    def table(self, others: Sequence[int], numbers: Sequence[int]) -> Floats:
        """The likeness of each of ``others`` to each of some drawn fills: others by fills."""
        fills = np.array(numbers, dtype=np.int64)
        found = self._known(others, fills)
        unknown = np.isnan(found)
        # Fills that nothing was compared with yet, and others that were not compared with all.
        strangers = unknown.all(axis=0)
        self._compare(others, fills[strangers])
        unknown[:, strangers] = False
        late = [other for other, row in zip(others, unknown, strict=True) if row.any()]
        self._compare(late, fills[unknown.any(axis=0)])
        return self._known(others, fills) if strangers.any() or late else found

    def _known(self, others: Sequence[int], fills: NDArray[np.int64]) -> Floats:
        for other in others:
            kept = self._rows.get(other, np.empty(0))
            if len(kept) < len(self.drawn):
                more = np.full(len(self.drawn) - len(kept), np.nan)
                self._rows[other] = np.concatenate([kept, more])
        rows = [self._rows[other].take(fills) for other in others]
        return np.array(rows).reshape(len(others), len(fills))

    def _compare(self, others: Sequence[int], fills: NDArray[np.int64]) -> None:
        if not others or not len(fills):
            return
        coded = self.drawn.coded(fills)
        for group, some in self._by_rhythm(others):
            for other, alike in zip(group, likeness_between(some, coded), strict=True):
                self._rows[other][fills] = alike

    def _by_rhythm(self, others: Sequence[int]) -> list[tuple[list[int], CodedFills]]:
        """Drawn fills together, and those of the history as they are on one rhythm."""
        groups = []
        for group, of in self._history:
            places = [place for place, other in enumerate(group) if other in others]
            if places:
                groups.append(([group[place] for place in places], of.some(places)))
        drawn = [other for other in others if other >= 0]
        return groups + ([(drawn, self.drawn.coded(drawn))] if drawn else [])
