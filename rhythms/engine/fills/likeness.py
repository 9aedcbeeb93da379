"""How alike two fills are to a player, from 0 to 1.

A measure of our own. The strokes of both fills are matched in order and near in time; a pair
counts by surface (the same; the same family; near on the kit), by the surface each stroke comes
from, by hand and by touch. A fill heard as the other one with some strokes displaced is alike.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.bars.bar import Bar
from rhythms.engine.fills.fill import DYNAMICS, LIMBS, ORNAMENTS, Fill, Stroke
from rhythms.engine.fills.together_likeness import (
    OTHER_TOUCH,
    SURFACES,
    corrections,
    struck_number,
    surface_likeness,
    surfaces_struck,
)

#: How much of a stroke's likeness hangs on the surface before it: the move, not the place alone.
MOVE = 0.15
#: What is left where the hands differ, and where one is not known.
OTHER_HAND, UNKNOWN_HAND = 0.8, 0.9
#: Quarter lengths within which strokes still meet, each counting less the further it is displaced.
REACH = 1.5
#: Fills that are compared with all others at a time; more take memory, fewer take time.
_AT_ONCE = 64
#: Rhythms with fewer fills than this are compared together, up to so many of about one length.
_FEW_ON_A_RHYTHM, _RHYTHMS_AT_ONCE = 16, 128
#: Pairs of strokes that are looked up at once; with more of them only those that can meet.
_FEW = 50_000

_TOUCHES = [(dynamic, ornament) for dynamic in DYNAMICS for ornament in (None, *ORNAMENTS)]
_HANDS = (None, *LIMBS)
Floats = NDArray[np.float64]
Number = TypeVar("Number", np.float64, np.int64)


_ALIKE = np.array([[surface_likeness(a, b) for b in SURFACES] for a in SURFACES])
#: The same for the surface before; the last place stands for the first stroke, which has none.
_CAME = 1 - MOVE + MOVE * np.pad(_ALIKE, (0, 1))
_CAME[-1, -1] = 1.0
_HAND_ALIKE = np.array(
    [
        [1.0 if a == b else UNKNOWN_HAND if None in (a, b) else OTHER_HAND for b in _HANDS]
        for a in _HANDS
    ]
)
_TOUCH_ALIKE = np.where(np.eye(len(_TOUCHES), dtype=bool), 1.0, OTHER_TOUCH)
#: By where strokes are and come from, and by how they are struck: see `CodedFills`.
_WHERE_ALIKE, _HOW_ALIKE = np.kron(_ALIKE, _CAME), np.kron(_HAND_ALIKE, _TOUCH_ALIKE)


@dataclass(frozen=True, eq=False)
class CodedFills:
    """Fills as numbers: a row a fill, a column a stroke.

    ``onsets`` are in quarter lengths: one row for all where they are on one rhythm, else a row
    each, and what is behind a fill's last stroke sounds never. ``surface`` numbers it, ``how`` hand
    and touch together, and ``struck`` all that is struck, as `stroke_code` does; None where each
    strikes one surface.
    """

    onsets: Floats
    surface: NDArray[np.int64]
    how: NDArray[np.int64]
    struck: NDArray[np.int64] | None = None

    @cached_property
    def where(self) -> NDArray[np.int64]:
        """Surface and the surface before together."""
        found = self.surface * (len(SURFACES) + 1)
        found[:, 1:] += self.surface[:, :-1]
        found[:, :1] += len(SURFACES)
        return found

    def __len__(self) -> int:
        return len(self.surface)

    @property
    def lengths(self) -> NDArray[np.int64]:
        """How many strokes each has; one number for all where they are on one rhythm."""
        return np.asarray(np.isfinite(self.onsets).sum(axis=-1))

    def some(self, rows: slice | list[int]) -> CodedFills:
        """Some of the fills."""
        struck = None if self.struck is None else self.struck[rows]
        onsets = self.onsets if self.onsets.ndim == 1 else self.onsets[rows]
        return CodedFills(onsets, self.surface[rows], self.how[rows], struck)

    @classmethod
    def together(cls, parts: Sequence[CodedFills]) -> CodedFills:
        """Fills on several rhythms in one table, a row of onsets each."""
        longest = max(part.surface.shape[1] for part in parts)
        several = any(part.struck is not None for part in parts)
        struck = [part.surface if part.struck is None else part.struck for part in parts]
        return cls(
            _stacked([np.tile(part.onsets, (len(part), 1)) for part in parts], longest, np.inf),
            _stacked([part.surface for part in parts], longest, 0),
            _stacked([part.how for part in parts], longest, 0),
            _stacked(struck, longest, 0) if several else None,
        )

    @classmethod
    def of(cls, fills: Sequence[Fill]) -> CodedFills:
        """Of one fill or more, all on one rhythm."""
        codes = np.array([_codes(fill) for fill in fills], dtype=np.int64)
        return cls(onsets_of(fills[0].bar), codes[:, 0], codes[:, 1], together_or_none(codes[:, 2]))


def _stacked(tables: Sequence[NDArray[Number]], columns: int, filler: float) -> NDArray[Number]:
    return np.concatenate(
        [
            np.pad(one, ((0, 0), (0, columns - one.shape[1])), constant_values=filler)
            for one in tables
        ]
    )


def together_or_none(struck: NDArray[np.int64]) -> NDArray[np.int64] | None:
    """Numbers of what is struck; None where each is of one surface."""
    return struck if struck.size and struck.max() >= len(SURFACES) else None


def likeness(a: Fill, b: Fill) -> float:
    """How alike two fills are: in [0, 1], symmetric, 1 on equal fills."""
    return float(likeness_to(a, [b])[0])


_Group = tuple[list[int], CodedFills]


class Others:
    """Fills made ready to be compared with others, one after the other or many at once."""

    def __init__(self, fills: Sequence[Fill]) -> None:
        self._size = len(fills)
        self._rhythms = list(_few_apart(by_rhythm(fills)))

    def likeness_to(self, fill: Fill) -> Floats:
        """The likeness of ``fill`` to each of them."""
        return np.asarray(self.table([fill])[0])

    def table(self, fills: Sequence[Fill]) -> Floats:
        """The likeness of each of ``fills`` to each of them: fills by others."""
        alike = np.empty((len(fills), self._size))
        for rows, some in by_rhythm(fills):
            for places, others in self._rhythms:
                alike[np.ix_(rows, places)] = likeness_between(some, others)
        return alike

    def among_themselves(self, fills: Sequence[Fill]) -> Floats:
        """The likeness of each of them to each; ``fills`` are themselves. Each two meet once."""
        alike = np.empty((self._size, self._size))
        group_of = {place: group for group, own in enumerate(self._rhythms) for place in own[0]}
        for rows, some in by_rhythm(fills):
            own, *longer = self._rhythms[group_of[rows[0]] :]
            start = own[0].index(rows[0])
            not_yet = own[0][start:], own[1].some(slice(start, None))
            for places, others in (not_yet, *longer):
                found = likeness_between(some, others)
                alike[np.ix_(rows, places)] = found
                alike[np.ix_(places, rows)] = found.T
        return alike


def likeness_to(fill: Fill, others: Sequence[Fill]) -> Floats:
    """The likeness of ``fill`` to each of ``others``."""
    return Others(others).likeness_to(fill)


def likeness_table(fills: Sequence[Fill]) -> Floats:
    """The likeness of each fill to each: symmetric, 1 on the diagonal."""
    return Others(fills).among_themselves(fills)


def _few_apart(rhythms: Iterable[_Group]) -> Iterator[_Group]:
    """Rhythms with few fills each in groups of about as long ones, which are compared at once."""
    few: list[_Group] = []
    for places, some in rhythms:
        if len(places) < _FEW_ON_A_RHYTHM and len(some.onsets):
            few.append((places, some))
        else:
            yield places, some
    few.sort(key=lambda group: len(group[1].onsets))
    for start in range(0, len(few), _RHYTHMS_AT_ONCE):
        groups = few[start : start + _RHYTHMS_AT_ONCE]
        places = [place for own, _ in groups for place in own]
        yield places, CodedFills.together([some for _, some in groups])


@lru_cache(maxsize=4096)
def _codes(fill: Fill) -> NDArray[np.int64]:
    """Rows: surfaces; hands and touches; all that is struck."""
    codes = [stroke_code(stroke) for stroke in fill.strokes]
    return np.array(codes, dtype=np.int64).reshape(-1, 3).T


@lru_cache(maxsize=1024)
def stroke_code(stroke: Stroke) -> tuple[int, int, int]:
    """The surface as a number, hand and touch as one, and all that is struck as one."""
    touch = _TOUCHES.index((stroke.dynamic, stroke.ornament))
    how = _HANDS.index(stroke.limb) * len(_TOUCHES) + touch
    return SURFACES.index(stroke.surface), how, struck_number(stroke)


@lru_cache(maxsize=256)
def onsets_of(bar: Bar) -> Floats:
    """When each note of a bar sounds, in quarter lengths; kept, not to be written into.

    Notes of a pick-up come before 0: bars are held against each other from their bar line on.
    """
    return np.array([float(note.onset - bar.meter.bar_line) for note in bar.sounded])


def struck_near(fill: Fill, onsets: Sequence[float] | Floats) -> Floats:
    """For each time and each surface, how near ``fill`` comes to striking it: times by surfaces."""
    struck_at = onsets_of(fill.bar)
    if not len(struck_at):
        return np.zeros((len(onsets), len(SURFACES)))
    apart = np.abs(np.asarray(onsets)[:, None] - struck_at)
    near = np.maximum(0.0, 1 - apart / REACH)
    return np.asarray((near[:, :, None] * _nearness_of(fill)).max(axis=1))


def _nearness_of(fill: Fill) -> Floats:
    """How near each stroke comes to each surface, by any limb: strokes by surfaces."""
    surface, _, struck = _codes(fill)
    if together_or_none(struck) is None:
        return np.asarray(_ALIKE[surface])
    rows = [[SURFACES.index(one) for one in surfaces_struck(number)] for number in struck.tolist()]
    return np.array([_ALIKE[row].max(axis=0) for row in rows])


def by_rhythm(fills: Sequence[Fill]) -> Iterator[tuple[list[int], CodedFills]]:
    """Fills on one rhythm together, with their places."""
    found: dict[bytes, list[int]] = {}
    for place, fill in enumerate(fills):
        found.setdefault(onsets_of(fill.bar).tobytes(), []).append(place)
    for places in found.values():
        yield places, CodedFills.of([fills[place] for place in places])


def likeness_between(fills: CodedFills, others: CodedFills) -> Floats:
    """The likeness of each of ``fills`` to each of ``others``: fills by others."""
    if not fills.surface.shape[1] + others.surface.shape[1]:
        return np.ones((len(fills), len(others)))
    starts = range(0, len(fills), _AT_ONCE)
    parts = [_matched(fills.some(slice(start, start + _AT_ONCE)), others) for start in starts]
    return np.concatenate([np.empty((0, len(others))), *parts])


def _matched(fills: CodedFills, others: CodedFills) -> Floats:
    """Twice the weight of the best matching in order, over the strokes of both: fills by others.

    Strokes keep their order in the matching; each pair weighs how alike the strokes are, less
    the further apart they sound.
    """
    alike_of = _StrokeAlike(fills, others)
    best = np.zeros((others.surface.shape[1] + 1, len(others), len(fills)))
    rows, reached = list(best.reshape(len(best), -1)), 0
    for place, (first, end) in enumerate(_meets(fills.onsets, others.onsets)):
        # Before those that each can meet nothing changes, and behind them all is as there.
        if end > reached:
            best[reached + 1 : end + 1] = best[reached]
            reached = end
        behind = best[first + 1 : end + 1]
        np.maximum(behind, alike_of(place, first, end) + best[first:end], out=behind)
        for note in range(first, end):
            np.maximum(rows[note], rows[note + 1], out=rows[note + 1])
    return np.asarray(2 * best[reached].T / (fills.lengths + others.lengths))


def _meets(onsets: Floats, others: Floats) -> list[tuple[int, int]]:
    """The first and the one behind the last of the others' strokes that each stroke can meet."""
    first, end = onsets - REACH, onsets + REACH
    if others.ndim == 1:
        return list(zip(*np.searchsorted(others, (first, end)).tolist(), strict=True))
    before = (others < first[:, None, None]).sum(axis=2)
    until = (others < end[:, None, None]).sum(axis=2)
    return list(zip(before.min(axis=1).tolist(), until.max(axis=1).tolist(), strict=True))


class _StrokeAlike:
    """How much a pair of strokes counts: how alike they are, less the further apart they sound."""

    def __init__(self, fills: CodedFills, others: CodedFills) -> None:
        self._here, self._there = fills, others
        # Strokes by others' strokes by others, or by 1 where these are on one rhythm.
        onsets = others.onsets
        there = onsets[None, :, None] if onsets.ndim == 1 else onsets.T[None]
        apart = np.abs(fills.onsets[:, None, None] - there)
        self._together = np.maximum(0.0, 1 - apart / REACH)[..., None]
        self._where, self._how = others.where.T.copy(), others.how.T.copy()
        # Mostly hands are open and no touch is marked: then all are struck alike.
        self._all_alike = not (fills.how.any() or others.how.any())
        self._corrected = _Corrected(fills, others)
        few = fills.where.size * others.where.size < _FEW
        #: Of few pairs all are looked up at once: strokes by others' strokes by others by fills.
        self._looked_up = self._all_pairs() if few else None

    def __call__(self, place: int, first: int, end: int) -> Floats:
        """Of one stroke of the fills, and some of the others': strokes by others by fills."""
        if self._looked_up is not None:
            return np.asarray(self._looked_up[place, first:end])
        here = _WHERE_ALIKE.take(self._here.where[:, place], axis=1)
        alike = here.take(self._where[first:end], axis=0)
        alike *= self._together[place, first:end]
        if not self._all_alike:
            here = _HOW_ALIKE.take(self._here.how[:, place], axis=1)
            alike *= here.take(self._how[first:end], axis=0)
        if self._corrected.needed:
            here = self._corrected.table.take(self._corrected.here[:, place], axis=1)
            alike *= here.take(self._corrected.there[first:end], axis=0)
        return alike

    def _all_pairs(self) -> Floats:
        alike = _pairs(_WHERE_ALIKE, self._here.where, self._where)
        alike *= self._together
        if not self._all_alike:
            alike *= _pairs(_HOW_ALIKE, self._here.how, self._how)
        if self._corrected.needed:
            alike *= _pairs(self._corrected.table, self._corrected.here, self._corrected.there)
        return alike


class _Corrected:
    """What the likeness of first surfaces is multiplied by, where strokes are of several surfaces.

    ``here`` and ``there`` are rows of the ``table``: fills by strokes, and strokes by others.
    """

    def __init__(self, fills: CodedFills, others: CodedFills) -> None:
        self.needed = fills.struck is not None or others.struck is not None
        if not self.needed:
            return
        here, there = (
            coded.surface if coded.struck is None else coded.struck for coded in (fills, others)
        )
        numbers, self.here = np.unique(here, return_inverse=True)
        others_numbers, codes = np.unique(there, return_inverse=True)
        self.table = corrections(others_numbers.tolist(), numbers.tolist())
        self.there = codes.T.copy()


def _pairs(table: Floats, here: NDArray[np.int64], there: NDArray[np.int64]) -> Floats:
    """What stands in a table, others by fills, for each pair of codes: of fills by strokes, and of
    strokes by others; strokes by strokes of the others by others by fills.
    """
    cells = (there * table.shape[1])[None, :, :, None] + here.T[:, None, None, :]
    return np.asarray(table.take(cells))
