"""How alike two fills are to a player, from 0 to 1.

A measure of our own. The strokes of both fills are matched in order and near in time; a pair
counts by surface (the same; the same family; near on the kit), by the surface each stroke comes
from, by hand and by touch. A fill heard as the other one with some strokes displaced is alike.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.bars.bar import Bar
from rhythms.engine.fills.fill import DYNAMICS, LIMBS, ORNAMENTS, Fill, Stroke
from rhythms.engine.kits.kit_layout import distance
from rhythms.engine.kits.surfaces import Surface, family

#: Two surfaces of one family; and what nearness on the kit adds at most.
SAME_FAMILY, NEARNESS = 0.5, 0.1
#: Centimetres over which nearness falls to about a third.
NEAR = 40.0
#: How much of a stroke's likeness hangs on the surface before it: the move, not the place alone.
MOVE = 0.15
#: What is left where the hands differ, where one is not known, and where the touch differs.
OTHER_HAND, UNKNOWN_HAND, OTHER_TOUCH = 0.8, 0.9, 0.8
#: Quarter lengths within which strokes still meet, each counting less the further it is displaced.
REACH = 1.5
#: Fills that are compared with all others at a time; more take memory, fewer take time.
_AT_ONCE = 64

_SURFACES = tuple(Surface)
_TOUCHES = [(dynamic, ornament) for dynamic in DYNAMICS for ornament in (None, *ORNAMENTS)]
_HANDS = (None, *LIMBS)
Floats = NDArray[np.float64]


def surface_likeness(a: Surface, b: Surface) -> float:
    """1 for the same surface, otherwise by family and distance."""
    if a == b:
        return 1.0
    near = NEARNESS * float(np.exp(-distance(a, b) / NEAR))
    return near + (SAME_FAMILY if family(a) == family(b) else 0.0)


_ALIKE = np.array([[surface_likeness(a, b) for b in _SURFACES] for a in _SURFACES])
#: The same for the surface before; the last place stands for the first stroke, which has none.
_CAME = 1 - MOVE + MOVE * np.pad(_ALIKE, (0, 1))
_CAME[-1, -1] = 1.0
_HAND_ALIKE = np.array(
    [
        [1.0 if a == b else UNKNOWN_HAND if None in (a, b) else OTHER_HAND for b in _HANDS]
        for a in _HANDS
    ]
)


class _Strokes(NamedTuple):
    """Strokes as numbers, in arrays of one shape; ``before`` is the surface a stroke comes from."""

    surface: NDArray[np.int64]
    before: NDArray[np.int64]
    hand: NDArray[np.int64]
    touch: NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class _Coded:
    """Fills on one rhythm: one place a stroke, one row a fill where there are several."""

    onsets: Floats
    strokes: _Strokes


@dataclass(frozen=True, eq=False)
class _Rhythm:
    """Each of the different strokes of fills on one rhythm once, and which of them stands where.

    Many fills have few different strokes: those alone are compared, and then looked up.
    ``which`` has a row an onset, a column a fill.
    """

    onsets: Floats
    strokes: _Strokes
    which: NDArray[np.int64]


def likeness(a: Fill, b: Fill) -> float:
    """How alike two fills are: in [0, 1], symmetric, 1 on equal fills."""
    return float(likeness_to(a, [b])[0])


class Others:
    """Fills made ready to be compared with others, one after the other or many at once."""

    def __init__(self, fills: Sequence[Fill]) -> None:
        self._size = len(fills)
        self._rhythms = [
            (places, _told_apart(some)) for places, some in _by_rhythm(fills, self._size)
        ]

    def likeness_to(self, fill: Fill) -> Floats:
        """The likeness of ``fill`` to each of them."""
        return np.asarray(self.table([fill])[0])

    def table(self, fills: Sequence[Fill]) -> Floats:
        """The likeness of each of ``fills`` to each of them: fills by others."""
        alike = np.empty((len(fills), self._size))
        for rows, some in _by_rhythm(fills, _AT_ONCE):
            for places, others in self._rhythms:
                alike[np.ix_(rows, places)] = _matched(some, others)
        return alike


def likeness_to(fill: Fill, others: Sequence[Fill]) -> Floats:
    """The likeness of ``fill`` to each of ``others``."""
    return Others(others).likeness_to(fill)


def likeness_table(fills: Sequence[Fill]) -> Floats:
    """The likeness of each fill to each: symmetric, 1 on the diagonal."""
    return Others(fills).table(fills)


@lru_cache(maxsize=4096)
def _coded(fill: Fill) -> _Coded:
    coded = np.array([_stroke_code(stroke) for stroke in fill.strokes], dtype=np.int64)
    surface, hand, touch = coded.reshape(-1, 3).T
    before = np.concatenate([[-1], surface])[: len(surface)]
    return _Coded(_onsets(fill.bar), _Strokes(surface, before, hand, touch))


@lru_cache(maxsize=1024)
def _stroke_code(stroke: Stroke) -> tuple[int, int, int]:
    """Surface, hand and touch as numbers."""
    touch = _TOUCHES.index((stroke.dynamic, stroke.ornament))
    return _SURFACES.index(stroke.surface), _HANDS.index(stroke.limb), touch


@lru_cache(maxsize=256)
def _onsets(bar: Bar) -> Floats:
    return np.array([float(note.onset) for note in bar.sounded])


def struck_near(fill: Fill, onsets: Sequence[float]) -> Floats:
    """For each time and each surface, how near ``fill`` comes to striking it: times by surfaces."""
    coded = _coded(fill)
    if not len(coded.onsets):
        return np.zeros((len(onsets), len(_SURFACES)))
    apart = np.abs(np.asarray(onsets)[:, None] - coded.onsets)
    together = np.maximum(0.0, 1 - apart / REACH)
    return np.asarray((together[:, :, None] * _ALIKE[coded.strokes.surface]).max(axis=1))


def _by_rhythm(fills: Sequence[Fill], most: int) -> Iterator[tuple[list[int], _Coded]]:
    """Fills on one rhythm together, at most so many, with their places."""
    found: dict[bytes, list[int]] = {}
    coded = [_coded(fill) for fill in fills]
    for place, fill in enumerate(coded):
        found.setdefault(fill.onsets.tobytes(), []).append(place)
    for places in found.values():
        for start in range(0, len(places), most):
            some = places[start : start + most]
            yield some, _stacked([coded[place] for place in some])


def _stacked(fills: list[_Coded]) -> _Coded:
    together = zip(*(fill.strokes for fill in fills), strict=True)
    return _Coded(fills[0].onsets, _Strokes(*map(np.array, together)))


def _told_apart(fills: _Coded) -> _Rhythm:
    surface, before, hand, touch = fills.strokes
    sizes = (len(_SURFACES), len(_SURFACES) + 1, len(_HANDS), len(_TOUCHES))
    numbers = np.ravel_multi_index((surface, before + 1, hand, touch), sizes)
    _, first, which = np.unique(numbers, return_index=True, return_inverse=True)
    strokes = _Strokes(*(of.ravel()[first] for of in fills.strokes))
    return _Rhythm(fills.onsets, strokes, np.ascontiguousarray(which.reshape(numbers.shape).T))


def _matched(fills: _Coded, others: _Rhythm) -> Floats:
    """Twice the weight of the best matching in order, over the strokes of both: fills by others.

    Strokes keep their order in the matching; each pair weighs how alike the strokes are, less
    the further apart they sound.
    """
    onsets = others.onsets
    rows, columns = len(fills.strokes.surface), others.which.shape[1]
    strokes = len(fills.onsets) + len(onsets)
    if not strokes:
        return np.ones((rows, columns))
    best = np.zeros((len(onsets) + 1, columns, rows))
    reached = 0
    for place, onset in enumerate(fills.onsets):
        # Those that it can meet; before them nothing changes, and behind them all is as there.
        first, end = np.searchsorted(onsets, (onset - REACH, onset + REACH))
        if end > reached:
            best[reached + 1 : end + 1] = best[reached]
            reached = end
        together = np.maximum(0.0, 1 - np.abs(onsets[first:end] - onset) / REACH)
        here = _Strokes(*(of[:, place] for of in fills.strokes))
        alike = _stroke_alike(others.strokes, here)[others.which[first:end]]
        alike *= together[:, None, None]
        alike += best[first:end]
        np.maximum(best[first + 1 : end + 1], alike, out=best[first + 1 : end + 1])
        np.maximum.accumulate(best[first : end + 1], axis=0, out=best[first : end + 1])
    return np.asarray(2 * best[reached].T / strokes)


def _stroke_alike(strokes: _Strokes, others: _Strokes) -> Floats:
    """Each stroke with each of the others: strokes by others."""
    surface, before, hand, touch = (of[:, None] for of in strokes)
    here = _ALIKE[surface, others.surface]
    came = _CAME[before, others.before]
    same_hand = _HAND_ALIKE[hand, others.hand]
    same_touch = np.where(touch == others.touch, 1.0, OTHER_TOUCH)
    return np.asarray(here * came * same_hand * same_touch)
