"""The bar grid under a take: where in which bar a moment falls."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.bars.meter import Meter

Floats = NDArray[np.float64]

#: How we know a grid: it was heard, it stands in the file, or it was made out from the strokes.
CLICK, FILE, ESTIMATED = "click", "file", "estimated"


@dataclass(frozen=True)
class Grid:
    """A piecewise straight map from musical time to milliseconds.

    ``anchors`` are at least two pairs of (quarter lengths from the first bar line, ms), both
    growing; beyond them the tempo of the nearest piece goes on.
    """

    meter: Meter
    anchors: tuple[tuple[float, float], ...]
    known: str

    @classmethod
    def steady(cls, meter: Meter, tempo: float, start: float, known: str) -> Grid:
        """One tempo in quarters a minute, from a bar line at ``start`` ms."""
        return cls(meter, ((0.0, start), (1.0, start + 60_000 / tempo)), known)

    @property
    def tempo(self) -> float:
        """Quarters a minute, from end to end."""
        (first, start), (last, end) = self.anchors[0], self.anchors[-1]
        return (last - first) * 60_000 / (end - start)

    @property
    def drift(self) -> float:
        """How much faster the last quarter of the way is than the first, as a share."""
        pieces = len(self.anchors) - 1
        part = max(1, pieces // 4)
        return self._pace(0, part) / self._pace(pieces - part, pieces) - 1

    def _pace(self, start: int, stop: int) -> float:
        (first, begins), (last, ends) = self.anchors[start], self.anchors[stop]
        return (ends - begins) / (last - first)

    def quarters(self, ms: float) -> float:
        """Quarter lengths from the first bar line; negative before it."""
        return _along(*self._by_ms, ms)

    def quarters_of(self, ms: Floats) -> Floats:
        """The same for each of many times."""
        there, here = np.array(self.anchors).T
        piece = np.clip(np.searchsorted(here, ms, side="right"), 1, len(here) - 1)
        start, pace = here[piece - 1], np.diff(there) / np.diff(here)
        return np.asarray(there[piece - 1] + (ms - start) * pace[piece - 1])

    def ms(self, quarters: float) -> float:
        """The inverse of ``quarters``."""
        return _along(*self._by_quarters, quarters)

    @cached_property
    def _by_quarters(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        quarters, ms = zip(*self.anchors, strict=True)
        return quarters, ms

    @cached_property
    def _by_ms(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        return self._by_quarters[::-1]


def _along(xs: Sequence[float], ys: Sequence[float], at: float) -> float:
    place = min(max(bisect_right(xs, at), 1), len(xs) - 1)
    x, y = xs[place - 1], ys[place - 1]
    return y + (at - x) * (ys[place] - y) / (xs[place] - x)
