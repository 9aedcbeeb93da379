"""What makes a phrase of surfaces that follow each other: traits of whole lines, as numbers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.kits.surfaces import FAMILIES, Surface, base
from rhythms.engine.prior.rhythm_comparisons import comparisons_of

Floats = NDArray[np.float64]
Codes = NDArray[np.int64]
Mask = NDArray[np.bool_]

SURFACES = tuple(Surface)
#: Of what is struck, however it is.
_CODE = {surface: SURFACES.index(base(surface)) for surface in SURFACES}
_FEWEST = 3
#: So many strokes at a time: what is worked out of them stays at hand.
_AT_ONCE = 32_768


def _among(*surfaces: Surface) -> Mask:
    return np.isin(np.arange(len(SURFACES)), [_CODE[surface] for surface in surfaces])


_TOMS, _SNARE = _among(*FAMILIES["toms"]), _among(Surface.SNARE)
_TOM, _DRUM, _BRIGHT = (1 << len(SURFACES) + at for at in range(3))
#: What a surface is, a bit for each kind; and one for itself, both rack toms as one: not every kit
#: has two.
_KINDS = (
    (1 << np.where(_among(Surface.MID_TOM), _CODE[Surface.HIGH_TOM], np.arange(len(SURFACES))))
    | np.where(_TOMS, _TOM, 0)
    | np.where(_TOMS | _SNARE, _DRUM, 0)
    | np.where(_among(*FAMILIES["cymbals"], *FAMILIES["bells"]), _BRIGHT, 0)
).astype(np.int32)
_ITSELF = np.int32((1 << len(SURFACES)) - 1)


class Lines:
    """Lines on one rhythm: ``codes`` has a row a stroke, of surfaces as SURFACES numbers them,
    and a column a line.
    """

    def __init__(self, onsets: Sequence[Fraction], codes: NDArray[np.int8]) -> None:
        self.codes = codes
        self.moved = codes[1:] != codes[:-1]
        self.kinds = _KINDS.take(codes)
        self.equal = comparisons_of(tuple(onsets)).shares(codes)

    def there_and_back(self) -> Floats:
        """The share of moves away that come back with the next stroke."""
        left = self.moved[:-1]
        return _share(_count(left & (self.codes[2:] == self.codes[:-2])), _count(left))

    def down(self) -> Floats:
        """Of moves between drums, the share that goes down: snare, high, mid, floor tom."""
        return self._down_of(_DRUM)

    def down_the_toms(self) -> Floats:
        """The same between toms alone."""
        return self._down_of(_TOM)

    def _down_of(self, kind: int) -> Floats:
        among = self._on(kind)
        moves = self.moved & among[1:] & among[:-1]
        return _share(_count(moves & (self.codes[1:] > self.codes[:-1])), _count(moves))

    def _on(self, kind: int) -> Mask:
        return np.asarray(self.kinds & kind != 0)

    @cached_property
    def _pairs(self) -> NDArray[np.int16]:
        """Each two strokes that follow each other, as one number."""
        return np.asarray(self.codes[:-1] * np.int16(len(SURFACES)) + self.codes[1:])

    def moves_said_again(self) -> Floats:
        """Of moves, the share that came before."""
        return _said_again(self._pairs, self.moved)

    def figures_said_again(self) -> Floats:
        """Of figures of three strokes with a move in them, the share that came before."""
        figures = self._pairs[:-1] * np.int16(len(SURFACES)) + self.codes[2:]
        return _said_again(figures, self.moved[:-1] | self.moved[1:])

    def longest_run(self) -> Floats:
        """The longest run on one surface, as a share of all strokes."""
        return np.asarray(runs(self.codes).max(axis=0) / len(self.codes))

    def single_strokes(self) -> Floats:
        """Of runs, the share that is one stroke long."""
        edges = np.ones((len(self.codes) + 1, self.codes.shape[1]), dtype=bool)
        edges[1:-1] = self.moved
        return _share(_count(edges[1:] & edges[:-1]), _count(edges[1:]))

    def share_on(self, kind: int) -> Floats:
        """The share of strokes on surfaces of a kind."""
        return np.asarray(_count(self._on(kind)) / len(self.codes))

    def different(self) -> Floats:
        """How many surfaces there are, rack toms as one."""
        struck = np.bitwise_or.reduce(self.kinds, axis=0) & _ITSELF
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
    "on toms": lambda lines: lines.share_on(_TOM),
    "on cymbals and bells": lambda lines: lines.share_on(_BRIGHT),
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


def runs(codes: NDArray[np.int8]) -> NDArray[np.int16]:
    """How long each stroke's surface was struck without another: strokes by lines, as ``codes``."""
    found = np.ones(codes.shape, dtype=np.int16)
    for note, stays in enumerate(codes[1:] == codes[:-1], start=1):
        np.multiply(found[note - 1], stays, out=found[note])
        found[note] += 1
    return found


def _said_again(figures: NDArray[np.int16], moves: Mask) -> Floats:
    """Of the figures of each line in which something moves, the share that came before."""
    by_line = np.ascontiguousarray(np.where(moves, figures, np.int16(-1)).T)
    by_line.sort(axis=1)
    ordered = np.ascontiguousarray(by_line.T)
    again = (ordered[1:] == ordered[:-1]) & (ordered[1:] >= 0)
    return _share(_count(again), _count(moves))


def _count(mask: Mask) -> NDArray[np.int16]:
    """How many of each line."""
    return np.asarray(np.add.reduce(mask, axis=0, dtype=np.int16))


def _share(counted: NDArray[np.integer], of: NDArray[np.integer]) -> Floats:
    """Line by line; NaN where there is nothing to be counted."""
    shares = np.full(len(of), np.nan)
    np.divide(counted, of, out=shares, where=of > 0)
    return shares
