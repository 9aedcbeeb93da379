"""What makes a phrase of surfaces that follow each other: traits of whole lines, as numbers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.kits.surfaces import FAMILIES, Surface
from rhythms.engine.prior.rhythm_comparisons import comparisons_of

Floats = NDArray[np.float64]
Codes = NDArray[np.int64]
Mask = NDArray[np.bool_]

SURFACES = tuple(Surface)
_CODE = {surface: code for code, surface in enumerate(SURFACES)}
_HIGH, _MID = _CODE[Surface.HIGH_TOM], _CODE[Surface.MID_TOM]
_FEWEST = 3
#: So many strokes at a time: what is worked out of them stays at hand.
_AT_ONCE = 32_768
#: Counts that are taken together: so many bits each.
_FIELD = 16


def _packed(*kinds: Mask) -> Codes:
    """For each thing a number with a 1 in the field of each kind that it is of."""
    return np.asarray(sum(kind.astype(np.int64) << _FIELD * at for at, kind in enumerate(kinds)))


def _unpacked(packed: Codes, kinds: int) -> list[Codes]:
    """How many there are of each kind, of numbers that were added up."""
    return [packed >> _FIELD * at & (1 << _FIELD) - 1 for at in range(kinds)]


def _among(*surfaces: Surface) -> Mask:
    return np.isin(np.arange(len(SURFACES)), [_CODE[surface] for surface in surfaces])


_TOMS = _among(*FAMILIES["toms"])
_STRUCK = _packed(_TOMS, _among(*FAMILIES["cymbals"], *FAMILIES["bells"]))
#: The bit of each surface, rack toms as one: not every kit has two.
_BIT = 1 << np.where(np.arange(len(SURFACES)) == _MID, _HIGH, np.arange(len(SURFACES)))


def _moves_between(some: Mask) -> Mask:
    """Which pairs of surfaces, the first times their number, are moves between some of them."""
    return ((some[:, None] & some) & ~np.eye(len(SURFACES), dtype=bool)).ravel()


_DOWN = np.triu(np.ones((len(SURFACES),) * 2, dtype=bool), 1).ravel()
_OF_DRUMS, _OF_TOMS = _moves_between(_TOMS | _among(Surface.SNARE)), _moves_between(_TOMS)
_MADE = _packed(_OF_DRUMS & _DOWN, _OF_DRUMS, _OF_TOMS & _DOWN, _OF_TOMS)


class Lines:
    """Lines on one rhythm: ``codes`` has a row a stroke, of surfaces as SURFACES numbers them,
    and a column a line.
    """

    def __init__(self, onsets: Sequence[Fraction], codes: NDArray[np.int8]) -> None:
        self.codes = codes
        self.moved = codes[1:] != codes[:-1]
        self.equal = comparisons_of(tuple(onsets)).shares(codes)

    def there_and_back(self) -> Floats:
        """The share of moves away that come back with the next stroke."""
        left = self.moved[:-1]
        return _share(_count(left & (self.codes[2:] == self.codes[:-2])), _count(left))

    @cached_property
    def _pairs(self) -> Codes:
        """Each two strokes that follow each other, as one number."""
        return np.asarray(self.codes[:-1].astype(np.int64) * len(SURFACES) + self.codes[1:])

    @cached_property
    def _moves_made(self) -> list[Codes]:
        return _unpacked(_MADE.take(self._pairs).sum(axis=0), 4)

    def down(self) -> Floats:
        """Of moves between drums, the share that goes down: snare, high, mid, floor tom."""
        return _share(*self._moves_made[:2])

    def down_the_toms(self) -> Floats:
        """The same between toms alone."""
        return _share(*self._moves_made[2:])

    def moves_said_again(self) -> Floats:
        """Of moves, the share that came before."""
        return _said_again(self._pairs, self.moved)

    def figures_said_again(self) -> Floats:
        """Of figures of three strokes with a move in them, the share that came before."""
        figures = self._pairs[:-1] * len(SURFACES) + self.codes[2:]
        return _said_again(figures, self.moved[:-1] | self.moved[1:])

    def longest_run(self) -> Floats:
        """The longest run on one surface, as a share of all strokes."""
        run = np.ones(self.codes.shape[1], dtype=np.int16)
        longest = run.copy()
        for stays in ~self.moved:
            run *= stays
            run += 1
            np.maximum(longest, run, out=longest)
        return np.asarray(longest / len(self.codes))

    def single_strokes(self) -> Floats:
        """Of runs, the share that is one stroke long."""
        edges = np.ones((len(self.codes) + 1, self.codes.shape[1]), dtype=bool)
        edges[1:-1] = self.moved
        return _share(_count(edges[1:] & edges[:-1]), _count(edges[1:]))

    @cached_property
    def _strokes_on(self) -> list[Codes]:
        return _unpacked(_STRUCK.take(self.codes).sum(axis=0), 2)

    def on_toms(self) -> Floats:
        """The share of strokes on toms."""
        return np.asarray(self._strokes_on[0] / len(self.codes))

    def on_cymbals_and_bells(self) -> Floats:
        """The share of strokes on cymbals and bells."""
        return np.asarray(self._strokes_on[1] / len(self.codes))

    def different(self) -> Floats:
        """How many surfaces there are, rack toms as one."""
        struck = np.bitwise_or.reduce(_BIT.take(self.codes), axis=0)
        return np.asarray(np.bitwise_count(struck).astype(float))

    def ends_on(self, surface: Surface) -> Floats:
        """1 where the last stroke is on the surface."""
        return np.asarray((self.codes[-1] == _CODE[surface]).astype(float))


#: Each in numbers, by line; NaN where a rhythm or a line does not tell.
TRAITS: dict[str, Callable[[Lines], Floats]] = {
    "struck again a beat later": lambda lines: lines.equal["a beat later"],
    "struck again two beats later": lambda lines: lines.equal["two beats later"],
    "there and back": Lines.there_and_back,
    "the same from beat to beat": lambda lines: lines.equal["from beat to beat"],
    "down the drums": Lines.down,
    "down the toms": Lines.down_the_toms,
    "moves said again": Lines.moves_said_again,
    "figures of three said again": Lines.figures_said_again,
    "longest run": Lines.longest_run,
    "runs of one": Lines.single_strokes,
    "moves": lambda lines: lines.equal["moves"],
    "moves onto the beat": lambda lines: lines.equal["moves onto the beat"],
    "moves off the beat": lambda lines: lines.equal["moves off the beat"],
    "beats on one surface": lambda lines: lines.equal["held beats"],
    "beats said again": lambda lines: lines.equal["beats said again"],
    "ends where it began": lambda lines: lines.equal["ends where it began"],
    "on toms": Lines.on_toms,
    "on cymbals and bells": Lines.on_cymbals_and_bells,
    "surfaces": Lines.different,
    "ends on the snare": lambda lines: lines.ends_on(Surface.SNARE),
    "ends on the floor tom": lambda lines: lines.ends_on(Surface.FLOOR_TOM),
}


def traits(onsets: Sequence[Fraction], codes: Codes) -> Floats:
    """The traits of lines on one rhythm: lines by traits, NaN where a rhythm does not tell.

    ``codes`` are lines by strokes. All NaN for lines of less than three strokes.
    """
    found = np.full((len(TRAITS), len(codes)), np.nan)
    some = max(1, _AT_ONCE // max(1, len(onsets)))
    for start in range(0, len(codes) if len(onsets) >= _FEWEST else 0, some):
        by_stroke = codes[start : start + some].T.astype(np.int8, order="C")
        lines = Lines(onsets, by_stroke)
        for row, trait in zip(found, TRAITS.values(), strict=True):
            row[start : start + some] = trait(lines)
    return found.T


def codes_of(lines: Sequence[Sequence[Surface]]) -> Codes:
    """Surfaces of lines of one length as numbers: lines by strokes."""
    width = len(lines[0]) if lines else 0
    numbers = [[_CODE[surface] for surface in line] for line in lines]
    return np.array(numbers, dtype=np.int64).reshape(len(lines), width)


def _said_again(figures: Codes, moves: Mask) -> Floats:
    """Of the figures of each line in which something moves, the share that came before."""
    ordered = np.sort(np.where(moves, figures, -1).T.astype(np.int16, order="C"), axis=1)
    again = (ordered[:, 1:] == ordered[:, :-1]) & (ordered[:, 1:] >= 0)
    return _share(again.sum(axis=1), _count(moves))


def _count(mask: Mask) -> NDArray[np.int16]:
    """How many of each line."""
    return np.asarray(np.add.reduce(mask, axis=0, dtype=np.int16))


def _share(counted: NDArray[np.integer], of: NDArray[np.integer]) -> Floats:
    """Line by line; NaN where there is nothing to be counted."""
    shares = np.full(len(of), np.nan)
    np.divide(counted, of, out=shares, where=of > 0)
    return shares
