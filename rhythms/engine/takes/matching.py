"""What was played held against what was meant: right, wrong surface, missed, extra."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from functools import lru_cache
from itertools import groupby, pairwise
from operator import attrgetter, itemgetter
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.surfaces import FEET, Surface, base
from rhythms.engine.playback.timeline import fill_timeline
from rhythms.engine.takes.attempt_result import (
    MISSED,
    OF_THE_GAP,
    RHYTHM_ALONE,
    RIGHT,
    WINDOW,
    WRONG,
    Attempt,
    Extra,
    HitResult,
    NoteResult,
)
from rhythms.engine.takes.going_feet import kept_going
from rhythms.engine.takes.grid import Floats, Grid
from rhythms.engine.takes.hits import TimedHit, bounces
from rhythms.engine.takes.swung_places import onsets_struck

#: How far a whole attempt may be off, in ms, and how much one such shift weighs in notes.
FURTHEST, RELUCTANCE = 220.0, 0.8
#: How much slower (faster below 0) than the grid an attempt may be; each try costs a little.
BENDS = (0.0, -0.03, 0.03, -0.06, 0.06)
_STEP = 5.0
_SHIFTS = _STEP * np.arange(-int(FURTHEST / _STEP), int(FURTHEST / _STEP) + 1)
#: A slip of a 16th at 150 a minute into the next bar or the last, in quarters, is still this bar.
_EDGE = 0.1
#: How many notes more must be there in even notes than in swung ones for it to be those.
_ANOTHER_FEEL = 1.0
#: Fewer pairs than this say nothing of a tempo.
_ENOUGH = 5
#: Where less than this share of the notes is there at the grid's own tempo, no other is tried.
_HOPELESS = 0.25
_ms = attrgetter("ms")


class Meant(NamedTuple):
    """A hit to play, of one note: ``ms`` where the grid has it, ``window`` ms to either side.

    ``soft`` for a ghost note.
    """

    note: int
    ms: float
    surface: Surface
    window: float
    soft: bool = False


def meant(fill: Fill, grid: Grid, bar: int, feel: Feel = STRAIGHT) -> tuple[Meant, ...]:
    """The hits of the fill's notes as a bar of the grid has them by this feel; no two notes'
    windows meet."""
    start = float(bar * grid.meter.length)
    at = [grid.ms(start + onset) for onset in onsets_struck(fill, feel)]
    gaps = [then - before for before, then in pairwise(at)]
    return tuple(
        Meant(
            index,
            ms,
            hit.surface,
            min([WINDOW, *(OF_THE_GAP * gap for gap in near)]),
            hit.dynamic == "ghost",
        )
        for index, (ms, stroke) in enumerate(zip(at, fill.strokes, strict=True))
        for near in [gaps[max(0, index - 1) : index + 1]]
        for hit in stroke.hits
    )


def attempt(
    fill: Fill, hits: Sequence[TimedHit], grid: Grid, bar: int, feel: Feel = STRAIGHT
) -> Attempt:
    """The strokes around one bar of the grid, held against the fill as the feel has it.

    First the offset of the whole is found (a device's delay, a player's habit) and how much
    slower than the grid it runs; then each hit of a note takes the stroke nearest to it. What may
    be a bounce is taken by ghost notes alone, where there is nothing else. Who plays even notes
    where they should swing plays all of them, half of them early.
    """
    wanted = meant(fill, grid, bar, feel)
    near = around(hits, grid, bar)
    buzzes = any(stroke.ornament == "buzz" for stroke in fill.strokes)
    bounced = bounces(near) if buzzes else ()
    worth, line, matched = _best(wanted, near, bounced)
    if not feel.is_straight:
        even = _best(meant(fill, grid, bar), near, bounced)
        if even[0] > worth + _ANOTHER_FEEL:
            _, line, matched = even
    taken = {k: index for index, k in matched.items()}
    left = [hit for k, hit in enumerate(near) if k not in taken]
    going = kept_going((fill, feel), left, grid, bar, line.late)
    extras = _extras((fill, feel), going.left, grid, bar, line)
    results = [
        _result(one, near[matched[index]] if index in matched else None, left)
        for index, one in enumerate(wanted)
    ]
    came = groupby(zip(wanted, results, strict=True), key=lambda pair: pair[0].note)
    notes = tuple(NoteResult(note, tuple(result for _, result in pairs)) for note, pairs in came)
    return Attempt(bar, notes, extras, line.offset, line.bend, going.feet)


def feet_of(fill: Fill) -> frozenset[Surface]:
    """The feet that belong to the fill; others may do what they like under it."""
    return frozenset(hit.surface for stroke in fill.strokes for hit in stroke.foot_hits)


def may_hold(fill: Fill, hits: Sequence[TimedHit], grid: Grid, bar: int, likeness: float) -> bool:
    """Whether a bar has strokes enough for an attempt to be as much like the fill as this."""
    return bool(fill.strokes) and len(around(hits, grid, bar)) >= max(
        1, likeness * len(fill.strokes)
    )


class _Line(NamedTuple):
    """Where notes are expected: all ``offset`` ms later, and slower by ``bend`` from ``first``."""

    first: float
    offset: float
    bend: float

    def late(self, ms: float) -> float:
        """How many ms late a note of this time is expected."""
        return self.offset + self.bend * (ms - self.first)


#: Which of the strokes caught each hit that was meant takes.
_Matched = dict[int, int]


def around(hits: Sequence[TimedHit], grid: Grid, bar: int) -> tuple[TimedHit, ...]:
    """The strokes of a bar and those that may belong to it: early ones, late ones."""
    length = float(grid.meter.length)
    start, end = grid.ms(bar * length), grid.ms((bar + 1) * length)
    edge = FURTHEST + WINDOW
    first = bisect_left(hits, start - edge, key=_ms)
    return tuple(hits[first : bisect_left(hits, end + edge, first, key=_ms)])


class _Pairs:
    """Every hit that was meant with every stroke around it, as arrays: hits by strokes."""

    def __init__(
        self, notes: Sequence[Meant], hits: Sequence[TimedHit], bounced: Sequence[bool]
    ) -> None:
        self.meant = np.array([note.ms for note in notes])
        self.since = self.meant - self.meant[0]
        self.window = np.array([note.window for note in notes])
        self.played = np.array([hit.ms for hit in hits])
        wanted = np.array([base(note.surface) for note in notes], dtype=object)
        struck = np.array([base(hit.surface) for hit in hits], dtype=object)
        self.same = np.equal.outer(wanted, struck).astype(bool)
        self.bounced = np.array(bounced or [False] * len(hits))
        soft = np.array([note.soft for note in notes])
        by_foot = np.array([hit.surface in FEET for hit in hits])
        on_foot = np.array([note.surface in FEET for note in notes])
        self.alike = (by_foot == on_foot[:, None]) & (soft[:, None] | ~self.bounced)

    def off(self, line: _Line) -> Floats:
        """The ms by which each stroke is later than each note on this line."""
        at = self.meant + line.offset + line.bend * self.since
        return np.asarray(self.played - at[:, None])


def _best(
    notes: Sequence[Meant], hits: Sequence[TimedHit], bounced: Sequence[bool]
) -> tuple[float, _Line, _Matched]:
    """The line under which most notes find a stroke, the right ones counting most, after its
    worth in notes."""
    if not notes or not hits:
        return 0.0, _Line(0.0, 0.0, 0.0), {}
    pairs = _Pairs(notes, hits, bounced)
    tries = [_settled(pairs, BENDS[0])]
    if len(notes) >= _ENOUGH and _found(pairs, tries[0][1]) >= _HOPELESS * len(notes):
        tries += [_settled(pairs, bend) for bend in BENDS[1:]]
    return max(((_worth(pairs, *tried), *tried) for tried in tries), key=itemgetter(0))


def _settled(pairs: _Pairs, bend: float) -> tuple[_Line, _Matched]:
    """From the likeliest offset: what matches, and the line through that, a few times over."""
    line = _Line(float(pairs.meant[0]), _offset(pairs, bend), bend)
    matched = _match(pairs, line)
    for _ in range(3):
        closer = _through(pairs, matched, line)
        if closer == line:
            break
        line, matched = closer, _match(pairs, closer)
    return line, matched


def _found(pairs: _Pairs, matched: _Matched) -> float:
    return sum(1.0 if pairs.same[index, k] else RHYTHM_ALONE for index, k in matched.items())


def _worth(pairs: _Pairs, line: _Line, matched: _Matched) -> float:
    shifted, bent = abs(line.offset) / FURTHEST, 5 * abs(line.bend)
    return _found(pairs, matched) - RELUCTANCE * (shifted + bent)


def _offset(pairs: _Pairs, bend: float) -> float:
    """The shift, in ms, under which most notes have a stroke on their surface near them."""
    score = -RELUCTANCE * np.abs(_SHIFTS) / FURTHEST
    around = np.abs(pairs.played - pairs.meant[:, None]) <= FURTHEST + 2 * WINDOW
    at, which = np.nonzero(around & ~pairs.bounced)
    if len(at):
        off = pairs.off(_Line(0.0, 0.0, bend))[at, which, None]
        weight = np.where(pairs.same[at, which, None], 1.0, RHYTHM_ALONE)
        near = np.maximum(0.0, 1 - np.abs(off - _SHIFTS) / pairs.window[at, None])
        # One after the other, whatever the machine adds at once.
        score += (weight * near).cumsum(axis=0)[-1]
    return float(_SHIFTS[np.argmax(score)])


def _match(pairs: _Pairs, line: _Line) -> _Matched:
    """The right surface first, then any other that is struck alike, always the nearest pair."""
    off = np.abs(pairs.off(line))
    index, hit = np.nonzero((off <= pairs.window[:, None]) & pairs.alike)
    order = np.lexsort((hit, index, off[index, hit], pairs.bounced[hit], ~pairs.same[index, hit]))
    matched: _Matched = {}
    used: set[int] = set()
    for note, k in zip(index[order].tolist(), hit[order].tolist(), strict=True):
        if note not in matched and k not in used:
            matched[note] = k
            used.add(k)
    return matched


def _through(pairs: _Pairs, matched: _Matched, line: _Line) -> _Line:
    """The line through what matched: slope by Theil and Sen (the median of all), then offset."""
    if not matched:
        return line
    places = sorted(matched)
    ms = pairs.meant[places]
    late = pairs.played[[matched[note] for note in places]] - ms
    bend = line.bend
    if len(late) >= _ENOUGH:
        one, other = _two_of(len(late))
        apart = ms[other] > ms[one]  # two hits of one note say nothing of it
        one, other = one[apart], other[apart]
        slope = _median((late[other] - late[one]) / (ms[other] - ms[one])) if len(one) else 0.0
        bend = max(BENDS[-2], min(BENDS[-1], slope)) if line.bend else 0.0
    return _Line(line.first, _median(late - bend * (ms - line.first)), bend)


@lru_cache(maxsize=256)
def _two_of(count: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Every two of so many."""
    one, other = np.triu_indices(count, 1)
    return one, other


def _median(numbers: Floats) -> float:
    ordered = np.sort(numbers)
    return float(ordered[(len(ordered) - 1) // 2] + ordered[len(ordered) // 2]) / 2


def _result(wanted: Meant, hit: TimedHit | None, left: Sequence[TimedHit]) -> HitResult:
    if hit is not None:
        outcome = RIGHT if base(hit.surface) == base(wanted.surface) else WRONG
        off = hit.ms - wanted.ms
        return HitResult(wanted.surface, outcome, hit.surface, off, velocity=hit.velocity)
    same = [hit.ms - wanted.ms for hit in left if base(hit.surface) == base(wanted.surface)]
    astray = min((off for off in same if abs(off) <= 4 * wanted.window), key=abs, default=None)
    return HitResult(wanted.surface, MISSED, astray=astray)


def _extras(
    meant: tuple[Fill, Feel], left: Sequence[TimedHit], grid: Grid, bar: int, line: _Line
) -> tuple[Extra, ...]:
    """The strokes of this bar that no note took and no ornament explains.

    Groove where it goes on is no mistake, nor is a foot that goes on under a fill without it, nor
    whatever stands where the bar is left open for an answer.
    """
    if not left:
        return ()
    fill, feel = meant
    length = float(grid.meter.length)
    warp = feel.warp_of(fill.bar)
    free = [tuple(map(float, map(warp.sounding, span))) for span in fill.bar.free_spans]
    feet = feet_of(fill).union(hit.surface for hit in fill.going_on)
    ornaments = [
        (line.offset + grid.ms(bar * length + float(sound.onset)), sound.surface)
        for sound in fill_timeline(fill, feel=feel)
        if sound.note is not None and fill.strokes[sound.note].ornament
    ]
    extras = []
    for hit in left:
        quarters = grid.quarters(hit.ms - line.offset) - bar * length
        explained = any(
            base(surface) == base(hit.surface) and abs(hit.ms - ms) <= WINDOW
            for ms, surface in ornaments
        )
        if (
            -_EDGE <= quarters < length - _EDGE
            and not any(start - _EDGE <= quarters < end - _EDGE for start, end in free)
            and not explained
            and (hit.surface in feet or hit.surface not in FEET)
        ):
            extras.append(Extra(quarters, hit.surface, hit))
    return tuple(extras)
