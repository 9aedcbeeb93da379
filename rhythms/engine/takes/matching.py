"""What was played held against what was meant: right, wrong surface, missed, extra."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from statistics import median
from typing import NamedTuple

import numpy as np

from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.surfaces import FEET, Surface
from rhythms.engine.playback.timeline import fill_timeline
from rhythms.engine.takes.grid import Grid
from rhythms.engine.takes.hits import Hit

RIGHT, WRONG, MISSED = "right", "wrong", "missed"
#: A stroke belongs to a note within this many ms, or this share of the gap to the next note.
#: A proposal: 50 ms at 16ths at 120 a minute, 37.5 at sextuplets.
WINDOW, OF_THE_GAP = 50.0, 0.45
#: How far a whole attempt may be off, in ms, and how much one such shift weighs in notes.
FURTHEST, RELUCTANCE = 220.0, 0.8
#: How much slower (faster below 0) than the grid an attempt may be; each try costs a little.
BENDS = (0.0, -0.03, 0.03, -0.06, 0.06)
_STEP = 5.0
_SHIFTS = _STEP * np.arange(-int(FURTHEST / _STEP), int(FURTHEST / _STEP) + 1)
#: A slip of a 16th at 150 a minute into the next bar or the last, in quarters, is still this bar.
_EDGE = 0.1
#: What a stroke in place on another surface counts while an attempt is looked for.
_RHYTHM_ALONE = 0.4
#: Fewer pairs than this say nothing of a tempo.
_ENOUGH = 5


class Meant(NamedTuple):
    """A note to play: ``ms`` where the grid has it, ``window`` ms to either side."""

    note: int
    ms: float
    surface: Surface
    window: float


class NoteResult(NamedTuple):
    """What became of one note.

    ``off`` in ms from the grid, late above 0, None where nothing was played. ``played`` is the
    surface that was struck, with ``velocity``. A missed note may have come ``astray``: on its
    surface, this many ms away.
    """

    note: int
    outcome: str
    played: Surface | None = None
    off: float | None = None
    astray: float | None = None
    velocity: int = 0


class Extra(NamedTuple):
    """A stroke that nothing asked for, ``quarters`` from the bar line."""

    quarters: float
    surface: Surface
    hit: Hit


@dataclass(frozen=True)
class Attempt:
    """The fill played once: ``bar`` where it starts, counted from 0; one note per stroke.

    ``offset`` is the ms by which all of it was late, ``bend`` how much slower than the grid.
    """

    bar: int
    notes: tuple[NoteResult, ...]
    extras: tuple[Extra, ...]
    offset: float
    bend: float

    def count(self, outcome: str) -> int:
        """How many notes ended so."""
        return sum(note.outcome == outcome for note in self.notes)

    @property
    def complete(self) -> bool:
        """Whether every note was struck, on whatever surface, and nothing else."""
        return not self.count(MISSED) and not self.extras


def meant(fill: Fill, grid: Grid, bar: int) -> tuple[Meant, ...]:
    """The fill's notes as a bar of the grid has them. Windows never meet."""
    start = float(bar * grid.meter.length)
    at = [grid.ms(start + float(note.onset)) for note in fill.bar.sounded]
    gaps = [then - before for before, then in pairwise(at)]
    return tuple(
        Meant(index, ms, stroke.surface, min([WINDOW, *(OF_THE_GAP * gap for gap in near)]))
        for index, (ms, stroke) in enumerate(zip(at, fill.strokes, strict=True))
        for near in [gaps[max(0, index - 1) : index + 1]]
    )


def attempt(fill: Fill, hits: Sequence[Hit], grid: Grid, bar: int) -> Attempt:
    """The strokes around one bar of the grid, held against the fill.

    First the offset of the whole is found (a device's delay, a player's habit) and how much
    slower than the grid it runs; then each note takes the stroke nearest to it.
    """
    notes = meant(fill, grid, bar)
    near = around(hits, grid, bar)
    line, matched = _best(notes, near)
    taken = {k: index for index, k in matched.items()}
    left = [hit for k, hit in enumerate(near) if k not in taken]
    extras = _extras(fill, left, grid, bar, line)
    came = tuple(_note(note, near, matched, left) for note in notes)
    return Attempt(bar, came, extras, line.offset, line.bend)


def likeness_of(fill: Fill, hits: Sequence[Hit], grid: Grid, bar: int) -> float:
    """How much of the fill is in a bar: 1 is all of it; rhythm alone, and strokes too many,
    count for less."""
    notes = meant(fill, grid, bar)
    if not notes:
        return 0.0
    near = around(hits, grid, bar)
    line, matched = _best(notes, near)
    right = sum(notes[index].surface is near[k].surface for index, k in matched.items())
    found = right + _RHYTHM_ALONE * (len(matched) - right)
    left = [hit for k, hit in enumerate(near) if k not in matched.values()]
    return found / (len(notes) + 0.5 * len(_extras(fill, left, grid, bar, line)))


class _Line(NamedTuple):
    """Where notes are expected: all ``offset`` ms later, and slower by ``bend`` from ``first``."""

    first: float
    offset: float
    bend: float

    def at(self, note: Meant) -> float:
        return note.ms + self.offset + self.bend * (note.ms - self.first)


#: Note index to hit index.
_Matched = dict[int, int]


def around(hits: Sequence[Hit], grid: Grid, bar: int) -> tuple[Hit, ...]:
    """The strokes of a bar and those that may belong to it: early ones, late ones."""
    length = float(grid.meter.length)
    start, end = grid.ms(bar * length), grid.ms((bar + 1) * length)
    edge = FURTHEST + WINDOW
    return tuple(hit for hit in hits if start - edge <= hit.ms < end + edge)


def _best(notes: Sequence[Meant], hits: Sequence[Hit]) -> tuple[_Line, _Matched]:
    """The line under which most notes find a stroke, the right ones counting most."""
    if not notes or not hits:
        return _Line(0.0, 0.0, 0.0), {}
    tries = []
    for bend in BENDS:
        line = _Line(notes[0].ms, _offset(notes, hits, bend), bend)
        for _ in range(3):
            matched = _match(notes, hits, line)
            line = _through(notes, hits, matched, line)
        matched = _match(notes, hits, line)
        tries.append((_worth(notes, hits, matched, line), line, matched))
    _, line, matched = max(tries, key=lambda found: found[0])
    return line, matched


def _worth(notes: Sequence[Meant], hits: Sequence[Hit], matched: _Matched, line: _Line) -> float:
    found = sum(
        1.0 if notes[index].surface is hits[k].surface else _RHYTHM_ALONE
        for index, k in matched.items()
    )
    return found - RELUCTANCE * abs(line.offset) / FURTHEST - 5 * RELUCTANCE * abs(line.bend)


def _offset(notes: Sequence[Meant], hits: Sequence[Hit], bend: float) -> float:
    """The shift, in ms, under which most notes have a stroke on their surface near them."""
    line = _Line(notes[0].ms, 0.0, bend)
    pairs = [
        (hit.ms - line.at(note), 1.0 if hit.surface is note.surface else _RHYTHM_ALONE, note.window)
        for note in notes
        for hit in hits
        if abs(hit.ms - note.ms) <= FURTHEST + 2 * WINDOW
    ]
    score = -RELUCTANCE * np.abs(_SHIFTS) / FURTHEST
    if pairs:
        off, weight, window = np.array(pairs).T[:, :, None]
        near = weight * np.maximum(0.0, 1 - np.abs(off - _SHIFTS) / window)
        score += near.cumsum(axis=0)[-1]  # one after the other, whatever the machine adds at once
    return float(_SHIFTS[np.argmax(score)])


def _match(notes: Sequence[Meant], hits: Sequence[Hit], line: _Line) -> _Matched:
    """The right surface first, then any other that is struck alike, always the nearest pair."""
    pairs = sorted(
        (hit.surface is not note.surface, abs(off), note.note, k)
        for note in notes
        for k, hit in enumerate(hits)
        for off in [hit.ms - line.at(note)]
        if abs(off) <= note.window and (hit.surface in FEET) == (note.surface in FEET)
    )
    matched: _Matched = {}
    used: set[int] = set()
    for _, _, index, k in pairs:
        if index not in matched and k not in used:
            matched[index] = k
            used.add(k)
    return matched


def _through(notes: Sequence[Meant], hits: Sequence[Hit], matched: _Matched, line: _Line) -> _Line:
    """The line through what matched: slope by Theil and Sen (the median of all), then offset."""
    late = [(notes[index].ms, hits[k].ms - notes[index].ms) for index, k in matched.items()]
    if not late:
        return line
    bend = line.bend
    if len(late) >= _ENOUGH:
        slopes = [(b[1] - a[1]) / (b[0] - a[0]) for a, b in combinations(sorted(late), 2)]
        bend = max(BENDS[-2], min(BENDS[-1], median(slopes))) if line.bend else 0.0
    return _Line(line.first, median(off - bend * (ms - line.first) for ms, off in late), bend)


def _note(note: Meant, hits: Sequence[Hit], matched: _Matched, left: Sequence[Hit]) -> NoteResult:
    if note.note in matched:
        hit = hits[matched[note.note]]
        outcome = RIGHT if hit.surface is note.surface else WRONG
        return NoteResult(note.note, outcome, hit.surface, hit.ms - note.ms, velocity=hit.velocity)
    same = [hit.ms - note.ms for hit in left if hit.surface is note.surface]
    astray = min((off for off in same if abs(off) <= 4 * note.window), key=abs, default=None)
    return NoteResult(note.note, MISSED, astray=astray)


def _extras(
    fill: Fill, left: Sequence[Hit], grid: Grid, bar: int, line: _Line
) -> tuple[Extra, ...]:
    """The strokes of this bar that no note took and no ornament explains.

    Groove up to the fill is no mistake, nor are feet that go on under a fill of the hands.
    """
    start, length = float(fill.bar.starts_at), float(grid.meter.length)
    feet = any(stroke.by_foot for stroke in fill.strokes)
    ornaments = [
        (line.offset + grid.ms(bar * length + float(sound.onset)), sound.surface)
        for sound in fill_timeline(fill)
        if fill.strokes[sound.note or 0].ornament
    ]
    extras = []
    for hit in left:
        quarters = grid.quarters(hit.ms - line.offset) - bar * length
        explained = any(
            surface is hit.surface and abs(hit.ms - ms) <= WINDOW for ms, surface in ornaments
        )
        if (
            start - _EDGE <= quarters < length - _EDGE
            and not explained
            and (feet or hit.surface not in FEET)
        ):
            extras.append(Extra(quarters, hit.surface, hit))
    return tuple(extras)
