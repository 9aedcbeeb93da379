"""What makes a phrase of surfaces that follow each other: traits of whole lines, as numbers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.kits.surfaces import FAMILIES, Surface

Floats = NDArray[np.float64]
Codes = NDArray[np.int64]

SURFACES = tuple(Surface)
_CODE = {surface: code for code, surface in enumerate(SURFACES)}
_TOMS = np.isin(np.arange(len(SURFACES)), [_CODE[tom] for tom in FAMILIES["toms"]])
_DRUMS = _TOMS | (np.arange(len(SURFACES)) == _CODE[Surface.SNARE])
_BRIGHT = np.isin(
    np.arange(len(SURFACES)),
    [_CODE[surface] for name in ("cymbals", "bells") for surface in FAMILIES[name]],
)
_HIGH, _MID = _CODE[Surface.HIGH_TOM], _CODE[Surface.MID_TOM]
_FEWEST = 3


class Lines:
    """Lines on one rhythm: ``codes`` has a row a line, of surfaces as SURFACES numbers them."""

    def __init__(self, onsets: Sequence[Fraction], codes: Codes) -> None:
        self.onsets = onsets
        self.codes = codes
        self.moved = codes[:, 1:] != codes[:, :-1]
        self.on_beat = np.array([not onset % 1 for onset in onsets], dtype=bool)

    def same_after(self, quarters: int) -> Floats:
        """The share of strokes that strike what was struck so long before."""
        at = {onset: place for place, onset in enumerate(self.onsets)}
        pairs = [(at[o - quarters], place) for o, place in at.items() if o - quarters in at]
        if not pairs:
            return self._unknown()
        first, second = np.array(pairs).T
        return np.asarray((self.codes[:, first] == self.codes[:, second]).mean(axis=1))

    def there_and_back(self) -> Floats:
        """The share of moves away that come back with the next stroke."""
        left = self.codes[:, 1:-1] != self.codes[:, :-2]
        back = left & (self.codes[:, 2:] == self.codes[:, :-2])
        return _share(back, left)

    def from_beat_to_beat(self) -> Floats:
        """The share of beats that begin where the beat before began."""
        heads = self.codes[:, self.on_beat]
        if heads.shape[1] <= 1:
            return self._unknown()
        return np.asarray((heads[:, 1:] == heads[:, :-1]).mean(axis=1))

    def down(self) -> Floats:
        """Of moves between drums, the share that goes down: snare, high, mid, floor tom."""
        drums = self.moved & _DRUMS[self.codes[:, 1:]] & _DRUMS[self.codes[:, :-1]]
        return _share(drums & (self.codes[:, 1:] > self.codes[:, :-1]), drums)

    def down_the_toms(self) -> Floats:
        """The same between toms alone."""
        toms = self.moved & _TOMS[self.codes[:, 1:]] & _TOMS[self.codes[:, :-1]]
        return _share(toms & (self.codes[:, 1:] > self.codes[:, :-1]), toms)

    def said_again(self, strokes: int) -> Floats:
        """Of moves, or of longer figures with a move in them, the share that came before."""
        width = self.codes.shape[1] - strokes + 1
        if width < 1:
            return self._unknown()
        figures, moves = np.zeros_like(self.codes[:, :width]), np.zeros((len(self.codes), width))
        for step in range(strokes):
            figures = figures * len(SURFACES) + self.codes[:, step : step + width]
            if step:
                moves += self.moved[:, step - 1 : step - 1 + width]
        figures = np.sort(np.where(moves > 0, figures, -1), axis=1)
        counted = figures >= 0
        again = counted[:, 1:] & (figures[:, 1:] == figures[:, :-1])
        return _share(again, counted)

    def longest_run(self) -> Floats:
        """The longest run on one surface, as a share of all strokes."""
        run, longest = np.ones(len(self.codes)), np.ones(len(self.codes))
        for moved in self.moved.T:
            run = np.where(moved, 1.0, run + 1)
            longest = np.maximum(longest, run)
        return np.asarray(longest / self.codes.shape[1])

    def single_strokes(self) -> Floats:
        """Of runs, the share that is one stroke long."""
        edge = np.ones((len(self.codes), 1), dtype=bool)
        begins, ends = np.hstack([edge, self.moved]), np.hstack([self.moved, edge])
        return _share(begins & ends, begins)

    def moves(self) -> Floats:
        """The share of strokes that move to another surface."""
        return np.asarray(self.moved.mean(axis=1))

    def moves_onto(self, *, beat: bool) -> Floats:
        """The same of strokes on a beat, or of those off it."""
        there = self.on_beat[1:] == beat
        return np.asarray(self.moved[:, there].mean(axis=1)) if there.any() else self._unknown()

    def held_beats(self) -> Floats:
        """Of beats with two strokes or more, the share that stays on one surface."""
        held = [
            (self.codes[:, beat] == self.codes[:, beat[:1]]).all(axis=1)
            for beat in self._beats()
            if len(beat) > 1
        ]
        return np.asarray(np.mean(held, axis=0)) if held else self._unknown()

    def beats_said_again(self) -> Floats:
        """Of beats that sound like the one before, the share on its surfaces."""
        beats = self._beats()
        same = [
            (self.codes[:, before] == self.codes[:, beat]).all(axis=1)
            for before, beat in pairwise(beats)
            if self._rhythm(before) == self._rhythm(beat)
        ]
        return np.asarray(np.mean(same, axis=0)) if same else self._unknown()

    def ends_where_it_began(self) -> Floats:
        """1 where the last stroke strikes what the first did."""
        return np.asarray((self.codes[:, 0] == self.codes[:, -1]).astype(float))

    def share_of(self, among: NDArray[np.bool_]) -> Floats:
        """The share of strokes on some of the surfaces."""
        return np.asarray(among[self.codes].mean(axis=1))

    def different(self) -> Floats:
        """How many surfaces there are, rack toms as one: not every kit has two."""
        ordered = np.sort(np.where(self.codes == _MID, _HIGH, self.codes), axis=1)
        return np.asarray(1.0 + (ordered[:, 1:] != ordered[:, :-1]).sum(axis=1))

    def ends_on(self, surface: Surface) -> Floats:
        """1 where the last stroke is on the surface."""
        return np.asarray((self.codes[:, -1] == _CODE[surface]).astype(float))

    def _unknown(self) -> Floats:
        return np.full(len(self.codes), np.nan)

    def _beats(self) -> list[list[int]]:
        beats: dict[int, list[int]] = {}
        for place, onset in enumerate(self.onsets):
            beats.setdefault(int(onset), []).append(place)
        return list(beats.values())

    def _rhythm(self, beat: list[int]) -> list[Fraction]:
        return [self.onsets[place] % 1 for place in beat]


TRAITS: dict[str, Callable[[Lines], Floats]] = {
    "struck again a beat later": lambda lines: lines.same_after(1),
    "struck again two beats later": lambda lines: lines.same_after(2),
    "there and back": Lines.there_and_back,
    "the same from beat to beat": Lines.from_beat_to_beat,
    "down the drums": Lines.down,
    "down the toms": Lines.down_the_toms,
    "moves said again": lambda lines: lines.said_again(2),
    "figures of three said again": lambda lines: lines.said_again(3),
    "longest run": Lines.longest_run,
    "runs of one": Lines.single_strokes,
    "moves": Lines.moves,
    "moves onto the beat": lambda lines: lines.moves_onto(beat=True),
    "moves off the beat": lambda lines: lines.moves_onto(beat=False),
    "beats on one surface": Lines.held_beats,
    "beats said again": Lines.beats_said_again,
    "ends where it began": Lines.ends_where_it_began,
    "on toms": lambda lines: lines.share_of(_TOMS),
    "on cymbals and bells": lambda lines: lines.share_of(_BRIGHT),
    "surfaces": Lines.different,
    "ends on the snare": lambda lines: lines.ends_on(Surface.SNARE),
    "ends on the floor tom": lambda lines: lines.ends_on(Surface.FLOOR_TOM),
}


def traits(onsets: Sequence[Fraction], codes: Codes) -> Floats:
    """The traits of lines on one rhythm: lines by traits, NaN where a rhythm does not tell.

    All NaN for lines of less than three strokes.
    """
    if len(onsets) < _FEWEST:
        return np.full((len(codes), len(TRAITS)), np.nan)
    lines = Lines(onsets, codes)
    return np.stack([trait(lines) for trait in TRAITS.values()], axis=1)


def codes_of(lines: Sequence[Sequence[Surface]]) -> Codes:
    """Surfaces of lines of one length as numbers: lines by strokes."""
    width = len(lines[0]) if lines else 0
    numbers = [[_CODE[surface] for surface in line] for line in lines]
    return np.array(numbers, dtype=np.int64).reshape(len(lines), width)


def _share(counted: NDArray[np.bool_], of: NDArray[np.bool_]) -> Floats:
    """Row by row; NaN where there is nothing to be counted."""
    whole = of.sum(axis=1)
    shares = np.full(len(whole), np.nan)
    np.divide(counted.sum(axis=1), whole, out=shares, where=whole > 0)
    return shares
