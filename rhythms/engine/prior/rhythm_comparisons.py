"""Which strokes of a rhythm are compared with each other, for traits that only ask what is equal.

Worked out once a rhythm: all its lines are then compared in a few array operations, however many
traits ask and however many lines there are.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Codes = NDArray[np.int8]
#: Products of so many numbers take one thread; waiting for another one costs more than it gains
#: where the machine has other work.
ONE_THREAD = 250_000
#: Two strokes, by their places in the rhythm.
Pair = tuple[int, int]


class RhythmComparisons:
    """The comparisons that ``onsets``, in quarters, ask for.

    ``equal`` and ``moves`` have sets of pairs of which it is asked how many are equal, and how
    many are not; ``figures`` has lists of such sets, of which it is asked how many are equal
    throughout.
    """

    def __init__(self, onsets: Sequence[Fraction]) -> None:
        beats = _beats(onsets)
        moves = list(pairwise(range(len(onsets))))
        self.equal: dict[str, list[Pair]] = {
            "a beat later": _apart(onsets, 1),
            "two beats later": _apart(onsets, 2),
            "from beat to beat": list(pairwise(p for p, o in enumerate(onsets) if not o % 1)),
            "ends where it began": [(0, len(onsets) - 1)],
        }
        self.moves: dict[str, list[Pair]] = {
            "moves": moves,
            "moves onto the beat": [pair for pair in moves if not onsets[pair[1]] % 1],
            "moves off the beat": [pair for pair in moves if onsets[pair[1]] % 1],
        }
        self.figures: dict[str, list[list[Pair]]] = {
            "held beats": [list(pairwise(beat)) for beat in beats if len(beat) > 1],
            "beats said again": [
                list(zip(before, beat, strict=True))
                for before, beat in pairwise(beats)
                if _inside(onsets, before) == _inside(onsets, beat)
            ],
        }
        singles = [*self.equal.values(), *self.moves.values()]
        rows = [*singles, *(row for rows in self.figures.values() for row in rows)]
        different = list(dict.fromkeys(pair for row in rows for pair in row))
        self._first, self._second = np.array(different, dtype=np.int64).reshape(-1, 2).T.copy()
        self._sizes = np.array([len(row) for row in rows])[:, None]
        self._asked = _which(rows, different)

    def shares(self, codes: Codes) -> dict[str, Floats]:
        """For each name the share of what is asked for, by line; NaN where a rhythm has none such.

        ``codes`` has a row a stroke and a column a line.
        """
        equal = codes.take(self._first, axis=0) == codes.take(self._second, axis=0)
        counted = _product(self._asked, equal)
        throughout = counted == self._sizes
        rows, found = iter(counted), {}
        for name, pairs in self.equal.items():
            found[name] = next(rows) / (len(pairs) or np.nan)
        for name, pairs in self.moves.items():
            found[name] = (len(pairs) - next(rows)) / (len(pairs) or np.nan)
        start = len(self.equal) + len(self.moves)
        for name, figures in self.figures.items():
            some = throughout[start : start + len(figures)]
            found[name] = np.add.reduce(some, axis=0, dtype=float) / (len(figures) or np.nan)
            start += len(figures)
        return found


@lru_cache(maxsize=128)
def comparisons_of(onsets: tuple[Fraction, ...]) -> RhythmComparisons:
    """Kept: most fills that are asked about together are on one rhythm."""
    return RhythmComparisons(onsets)


def _which(rows: Sequence[Sequence[Pair]], pairs: Sequence[Pair]) -> NDArray[np.float32]:
    """1 where a pair is in a row: rows by pairs."""
    place = {pair: at for at, pair in enumerate(pairs)}
    found = np.zeros((len(rows), len(pairs)), dtype=np.float32)
    for row, asked in zip(found, rows, strict=True):
        row[[place[pair] for pair in asked]] = 1.0
    return found


def _product(asked: NDArray[np.float32], equal: NDArray[np.bool_]) -> Floats:
    """How many are equal: rows by lines. Of small whole numbers, and so exact."""
    some = max(1, ONE_THREAD // max(1, asked.size))
    parts = [
        asked @ equal[:, start : start + some].astype(np.float32)
        for start in range(0, equal.shape[1], some)
    ]
    return np.concatenate([np.empty((len(asked), 0)), *parts], axis=1)


def _apart(onsets: Sequence[Fraction], quarters: int) -> list[Pair]:
    at = {onset: place for place, onset in enumerate(onsets)}
    return [(at[onset - quarters], at[onset]) for onset in at if onset - quarters in at]


def _beats(onsets: Sequence[Fraction]) -> list[list[int]]:
    beats: dict[int, list[int]] = {}
    for place, onset in enumerate(onsets):
        beats.setdefault(int(onset), []).append(place)
    return list(beats.values())


def _inside(onsets: Sequence[Fraction], beat: list[int]) -> list[Fraction]:
    return [onsets[place] % 1 for place in beat]
