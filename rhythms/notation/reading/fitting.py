"""The grids that played strokes fit best, beat by beat.

A beat may be counted in several grids. What was meant is taken to be the most likely choice
under a plain model (our own; none is published for this): strokes scatter around their places
with one normal deviation, the whole take may lie a little early or late, one stroke in a
hundred falls far off, each place of a grid is struck or not with equal chance, strokes that are
not together seldom share one, and a take prefers the grids it uses elsewhere. Deviation and shift
are those of the highest likelihood.
A file whose times are nearly all exact was typed: then there is nothing to estimate.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]

#: Deviations in milliseconds that are tried, from exact times to very loose playing.
_DEVIATIONS = (1.5, 3.0, 6.0, 9.0, 12.0, 16.0, 20.0, 25.0, 30.0)
#: Shifts in milliseconds; in 316 long takes to a click the middle was 11 early, with a deviation of
#: 11. It counts as if that were less, since the strokes of a take do not err one by one.
_SHIFTS = tuple(range(-60, 64, 4))
_USUAL_SHIFT, _SHIFT_DEVIATION = -10.0, 8.0
#: Typed, where this share of the strokes stands exactly on a place of some grid.
_TYPED_SHARE = 0.75
_STRAY = 0.01
_STRAY_DEVIATION = 80.0
_NEVER = 1e-300
#: How much a place costs that can be struck or not.
_A_PLACE = float(np.log(2))
#: What it costs that two strokes share a place which are not together: one of them is astray.
_TOO_CLOSE = 10.0
#: Before anything is known of a take: weights of grids, by how many of their steps are a quarter;
#: and of those that are divided unevenly.
_WEIGHTS = {1: 3.0, 2: 3.0, 4: 3.0, 3: 1.5, 6: 0.75, 8: 0.5, 5: 0.1}
_UNEVEN = 0.1
#: Deviation and shift are judged on this many strokes; more change nothing and take long.
_JUDGED = 3000
_ROUNDS = 2
#: A stroke this near to a beat, in quarters, is on it.
_ON_A_BEAT = 1 / 16


@dataclass(frozen=True)
class Span:
    """One beat of a take: ``onset`` in quarters from its start, ``quarter`` in milliseconds.

    ``grids`` are the offsets, in quarters from the beat, of each way to count it.
    """

    onset: Fraction
    length: Fraction
    quarter: float
    grids: tuple[tuple[Fraction, ...], ...]


@dataclass(frozen=True)
class Placed:
    """Where one stroke belongs: quarters from the start of the take, and how late it came, in ms.

    The shift of the whole take is taken off ``late``.
    """

    onset: Fraction
    late: float


@dataclass(frozen=True)
class Fit:
    """``placed`` has one entry for each stroke; ``deviation`` and ``shift`` in milliseconds."""

    placed: tuple[Placed, ...]
    deviation: float
    shift: float
    typed: bool


def fit(
    times: Sequence[float], shares: Sequence[bool], spans: Sequence[Span], resolution: float
) -> Fit:
    """Each stroke on a place of the best grid of its beat.

    ``times`` in quarters, in order; ``resolution``, also in quarters, is what they are rounded
    to. ``shares`` says of each stroke whether it may have the place of the one before it. ``spans``
    are the beats in order.
    """
    table = _Table(np.asarray(times, dtype=np.float64), np.asarray(shares, dtype=bool), spans)
    judged = _Table(table.times[:_JUDGED], table.shares[:_JUDGED], spans)
    typed = table.typed_with(resolution)
    grids: Ints = np.zeros(len(spans), dtype=np.int64)
    weights = table.first_weights
    deviation = shift = 0.0
    for _ in range(_ROUNDS):
        deviation, shift = (typed, 0.0) if typed else judged.most_likely(weights)
        grids = table.choose(table.distances(shift), deviation, weights)[0]
        weights = table.weights_of(grids)
    return Fit(tuple(table.place(grids, shift)), deviation, shift, bool(typed))


class _Distances(NamedTuple):
    """The ``home`` span of each stroke, its distance to each grid there, in ms, infinite for none;
    and whether it would be too close to another one there."""

    home: Ints
    far: Floats
    crowded: Bools


class _Table:
    """Strokes against the places of all grids of their beats."""

    def __init__(self, times: Floats, shares: Bools, spans: Sequence[Span]) -> None:
        self.times = times
        self.shares = shares
        self.spans = spans
        self.onsets = np.array([float(span.onset) for span in spans])
        self.lengths = np.array([float(span.length) for span in spans])
        self.quarters = np.array([span.quarter for span in spans])
        self.kind_of = [(span.grids, span.length) for span in spans]
        self.kinds = list(dict.fromkeys(self.kind_of))
        self.kind_numbers = np.array([self.kinds.index(kind) for kind in self.kind_of])
        self.most_grids = max(len(grids) for grids, _ in self.kinds)
        self.first_weights = self._per_span(
            {kind: _normed(_first_weights(*kind)) for kind in self.kinds}
        )
        self.sizes = self._per_span(
            {kind: [float(len(grid)) for grid in kind[0]] for kind in self.kinds}
        )

    def _per_span(self, rows: dict[tuple[object, Fraction], Sequence[float]]) -> Floats:
        """A row for each span; grids it does not have cost nothing here, and all elsewhere."""
        padded = {kind: [*row, *[1.0] * (self.most_grids - len(row))] for kind, row in rows.items()}
        return np.array([padded[kind] for kind in self.kind_of])

    def homes(self, shift: float) -> tuple[Ints, Floats]:
        """The span of each stroke, and the stroke's offset in it, in quarters."""
        first = np.clip(np.searchsorted(self.onsets, self.times, "right") - 1, 0, None)
        moved = self.times - shift / self.quarters[first]
        home = np.clip(np.searchsorted(self.onsets, moved, "right") - 1, 0, None)
        return home, moved - self.onsets[home]

    def distances(self, shift: float) -> _Distances:
        """How far each stroke is from each grid of its span."""
        home, offsets = self.homes(shift)
        far = np.full((len(self.times), self.most_grids), np.inf)
        nearest = np.full(far.shape, -1)
        at_the_end = np.zeros(far.shape, dtype=bool)
        for index, kind in enumerate(self.kinds):
            here = self.kind_numbers[home] == index
            for number, grid in enumerate(kind[0]):
                places = np.array([*map(float, grid), float(kind[1])])
                off = np.abs(offsets[here, None] - places)
                far[here, number] = off.min(axis=1)
                nearest[here, number] = off.argmin(axis=1)
                at_the_end[here, number] = nearest[here, number] == len(grid)
        crowded = self._crowded(home, offsets, nearest, at_the_end)
        return _Distances(home, far * self.quarters[home, None], crowded)

    def _crowded(self, home: Ints, offsets: Floats, nearest: Ints, at_the_end: Bools) -> Bools:
        """Whether each stroke would have the place of the one before it and may not.

        Over a beat one of the two is on it however it is divided; the other one has the choice.
        """
        crowded = np.zeros(nearest.shape, dtype=bool)
        apart = ~self.shares[1:]
        same_home = apart & (home[1:] == home[:-1])
        crowded[1:] = same_home[:, None] & (nearest[1:] == nearest[:-1])
        over_a_beat = apart & (home[1:] == home[:-1] + 1)
        early = offsets[:-1] >= self.lengths[home[:-1]] - _ON_A_BEAT
        crowded[1:] |= (over_a_beat & early)[:, None] & (nearest[1:] == 0)
        late = over_a_beat & ~early & (offsets[1:] <= _ON_A_BEAT)
        crowded[:-1] |= late[:, None] & at_the_end[:-1]
        return crowded

    def typed_with(self, resolution: float) -> float:
        """The deviation that rounding alone makes, in ms; 0 where the take was played."""
        home, far, _ = self.distances(0)
        rounding = resolution * self.quarters[home]
        exact = far.min(axis=1) <= rounding * 0.51
        if exact.mean() < _TYPED_SHARE:
            return 0.0
        return max(_DEVIATIONS[0], float(rounding.max()) * 0.3)

    def choose(
        self, distances: _Distances, deviation: float, weights: Floats
    ) -> tuple[Ints, float]:
        """The best grid of each span, and what all of them cost."""
        home, far, crowded = distances
        meant, stray = _normal(far, deviation), _normal(far, _STRAY_DEVIATION)
        costs = -np.log((1 - _STRAY) * meant + _STRAY * stray + _NEVER) + _TOO_CLOSE * crowded
        sums = np.zeros((len(self.spans), self.most_grids))
        np.add.at(sums, home, costs)
        struck = np.bincount(home, minlength=len(self.spans)) > 0
        sums += self.sizes * _A_PLACE - np.log(weights)
        return sums.argmin(axis=1), float(sums.min(axis=1)[struck].sum())

    def most_likely(self, weights: Floats) -> tuple[float, float]:
        """Deviation and shift of the highest likelihood."""
        best = (np.inf, 0.0, 0.0)
        for shift in _SHIFTS:
            distances = self.distances(shift)
            unusual = ((shift - _USUAL_SHIFT) / _SHIFT_DEVIATION) ** 2 / 2
            for deviation in _DEVIATIONS:
                cost = self.choose(distances, deviation, weights)[1] + unusual
                best = min(best, (cost, deviation, float(shift)))
        return best[1], best[2]

    def weights_of(self, grids: Ints) -> Floats:
        """The first weights, together with how often each grid was chosen by beats of its kind."""
        rows: dict[tuple[object, Fraction], Sequence[float]] = {}
        home = set(self.homes(0)[0].tolist())
        for kind in self.kinds:
            counted = [g for span, g in enumerate(grids) if self.kind_of[span] == kind]
            struck = [
                g for span, g in enumerate(grids) if self.kind_of[span] == kind and span in home
            ]
            uses = [struck.count(number) for number in range(len(kind[0]))] if counted else []
            first = _first_weights(*kind)
            rows[kind] = _normed([a + b for a, b in zip(first, uses, strict=True)])
        return self._per_span(rows)

    def place(self, grids: Ints, shift: float) -> list[Placed]:
        """Each stroke on the nearest place of the chosen grid of its span."""
        home, offsets = self.homes(shift)
        placed = []
        for number, offset in zip(home.tolist(), offsets.tolist(), strict=True):
            span = self.spans[number]
            places = (*span.grids[grids[number]], span.length)
            place = min(places, key=lambda place: abs(float(place) - offset))
            placed.append(Placed(span.onset + place, (offset - float(place)) * span.quarter))
        return placed


def _normal(far: Floats, deviation: float) -> Floats:
    density: Floats = np.exp(-((far / deviation) ** 2) / 2) / (deviation * np.sqrt(2 * np.pi))
    return density


def _first_weights(grids: tuple[tuple[Fraction, ...], ...], length: Fraction) -> list[float]:
    return [_first_weight((*grid, length)) for grid in grids]


def _first_weight(places: tuple[Fraction, ...]) -> float:
    steps = {then - now for now, then in pairwise(places)}
    if len(steps) > 1:
        return _UNEVEN
    return _WEIGHTS.get(int(1 / steps.pop()), _UNEVEN)


def _normed(row: Sequence[float]) -> list[float]:
    total = sum(row)
    return [weight / total for weight in row]
