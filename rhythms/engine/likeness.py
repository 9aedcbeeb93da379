"""How alike two fills are to a player, from 0 to 1.

A measure of our own. The strokes of both fills are matched in order and near in time; a pair
counts by surface (the same; the same family; near on the kit), by the surface each stroke comes
from, by hand and by touch. A fill heard as the other one with some strokes displaced is alike.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fill import DYNAMICS, LIMBS, ORNAMENTS, Fill
from rhythms.engine.layout import distance
from rhythms.engine.surfaces import Surface, family

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


@dataclass(frozen=True, eq=False)
class _Coded:
    """A fill as arrays, one place a stroke; ``before`` is the surface a stroke comes from."""

    onsets: Floats
    surface: NDArray[np.int64]
    before: NDArray[np.int64]
    hand: NDArray[np.int64]
    touch: NDArray[np.int64]


def likeness(a: Fill, b: Fill) -> float:
    """How alike two fills are: in [0, 1], symmetric, 1 on equal fills."""
    return float(likeness_to(a, [b])[0])


class Others:
    """Fills made ready to be compared with many, one after the other."""

    def __init__(self, fills: Sequence[Fill]) -> None:
        by_rhythm: dict[bytes, list[int]] = {}
        coded = [_coded(fill) for fill in fills]
        for place, fill in enumerate(coded):
            by_rhythm.setdefault(fill.onsets.tobytes(), []).append(place)
        self._size = len(coded)
        self._rhythms = [
            (places, _stacked([coded[place] for place in places])) for places in by_rhythm.values()
        ]

    def likeness_to(self, fill: Fill) -> Floats:
        """The likeness of ``fill`` to each of them."""
        alike = np.empty(self._size)
        coded = _coded(fill)
        for places, stacked in self._rhythms:
            alike[places] = _matched(coded, stacked)
        return alike


def likeness_to(fill: Fill, others: Sequence[Fill]) -> Floats:
    """The likeness of ``fill`` to each of ``others``."""
    return Others(others).likeness_to(fill)


def likeness_table(fills: Sequence[Fill]) -> Floats:
    """The likeness of each fill to each: symmetric, 1 on the diagonal."""
    others = Others(fills)
    return np.array([others.likeness_to(fill) for fill in fills]).reshape(len(fills), len(fills))


@lru_cache(maxsize=4096)
def _coded(fill: Fill) -> _Coded:
    surfaces = [_SURFACES.index(stroke.surface) for stroke in fill.strokes]
    return _Coded(
        np.array([float(note.onset) for note in fill.bar.sounded]),
        np.array(surfaces, dtype=np.int64),
        np.array([-1, *surfaces][: len(surfaces)], dtype=np.int64),
        np.array([_HANDS.index(stroke.limb) for stroke in fill.strokes], dtype=np.int64),
        np.array([_TOUCHES.index((s.dynamic, s.ornament)) for s in fill.strokes], dtype=np.int64),
    )


def struck_near(fill: Fill, onsets: Sequence[float]) -> Floats:
    """For each time and each surface, how near ``fill`` comes to striking it: times by surfaces."""
    coded = _coded(fill)
    if not len(coded.onsets):
        return np.zeros((len(onsets), len(_SURFACES)))
    apart = np.abs(np.asarray(onsets)[:, None] - coded.onsets)
    together = np.maximum(0.0, 1 - apart / REACH)
    return np.asarray((together[:, :, None] * _ALIKE[coded.surface]).max(axis=1))


def _stacked(fills: list[_Coded]) -> _Coded:
    """Fills on one rhythm, one a row."""
    return _Coded(
        fills[0].onsets,
        np.array([fill.surface for fill in fills]),
        np.array([fill.before for fill in fills]),
        np.array([fill.hand for fill in fills]),
        np.array([fill.touch for fill in fills]),
    )


def _matched(fill: _Coded, others: _Coded) -> Floats:
    """Twice the weight of the best matching in order, over the strokes of both fills.

    Strokes keep their order in the matching; each pair weighs how alike the strokes are, less
    the further apart they sound.
    """
    strokes = len(fill.onsets) + len(others.onsets)
    if not strokes:
        return np.ones(len(others.surface))
    best = np.zeros((len(others.surface), len(others.onsets) + 1))
    for place, onset in enumerate(fill.onsets):
        together = np.maximum(0.0, 1 - np.abs(others.onsets - onset) / REACH)
        taken = best[:, :-1] + together * _stroke_alike(fill, place, others)
        np.maximum(best[:, 1:], taken, out=best[:, 1:])
        np.maximum.accumulate(best, axis=1, out=best)
    return np.asarray(2 * best[:, -1] / strokes)


def _stroke_alike(fill: _Coded, place: int, others: _Coded) -> Floats:
    """One stroke with every stroke of the others."""
    here = _ALIKE[fill.surface[place], others.surface]
    came = _CAME[fill.before[place], others.before]
    touch = np.where(fill.touch[place] == others.touch, 1.0, OTHER_TOUCH)
    return np.asarray(here * came * _HAND_ALIKE[fill.hand[place], others.hand] * touch)
