"""How much of what drummers play is in the fills that are read of it.

A stroke is kept where the fill that was read has one on the same drum, in whatever way it is
struck, within a 32nd of it, and each of that fill keeps one. Grace notes, bounces, hands and feet
count singly; what one pad sent twice at once counts once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from statistics import median
from typing import NamedTuple

from rhythms.engine import Fill, Kit, Meter
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.kits.surfaces import Surface, base
from rhythms.engine.playback.timeline import fill_timeline
from rhythms.engine.takes import FILE, hear
from rhythms.engine.takes.grid import Grid
from rhythms.engine.takes.stroke_reading import fill_of, place
from rhythms.engine.takes.touch_levels import TouchLevels
from rhythms.human_fills import HumanFile
from rhythms.notation.reading.file_reader import read_here

_A_32ND, _A_16TH = 0.125, 0.25
_ROUNDING = 1e-6
_METER = Meter.parse("4/4")
#: Drum by drum, in quarters from the start of the file, in order.
_Struck = dict[Surface, list[float]]
#: Fills with the quarters at which they start.
ReadFills = list[tuple[float, Fill]]


class StrokesKept(NamedTuple):
    """Of one file: strokes played, kept, read.

    ``kept_aligned`` counts with the middle offset of the whole file taken off, since drummers play
    ahead of the beat.
    """

    player: str
    strokes: int
    kept: int
    kept_aligned: int
    read: int

    @property
    def complete(self) -> bool:
        """Whether every stroke is kept."""
        return self.kept == self.strokes

    @property
    def complete_aligned(self) -> bool:
        """The same with the offset of the file taken off."""
        return self.kept_aligned == self.strokes


def as_imported(file: HumanFile) -> ReadFills:
    """As the page of bars from a file reads it."""
    measures = read_here(file.path.read_bytes()).measures
    length = float(_METER.length)
    return [
        (place * length, measure.fill) for place, measure in enumerate(measures) if measure.fill
    ]


def as_heard(file: HumanFile) -> ReadFills:
    """As a take with a click is read: every bar of it as a fill."""
    grid = Grid.steady(_METER, file.tempo, 0.0, FILE)
    hits = hear(file.events, {}).hits
    touch = TouchLevels.of_take(hits)
    placed = place(hits, grid)
    return [
        (
            float(bar * _METER.length),
            fill_of([each for each in placed if each.bar == bar], _METER, Kit.standard(), touch),
        )
        for bar in sorted({each.bar for each in placed})
    ]


WAYS_TO_READ: dict[str, Callable[[HumanFile], ReadFills]] = {
    "bars from a file": as_imported,
    "takes": as_heard,
}


def kept(file: HumanFile, fills: ReadFills, feel: Feel = STRAIGHT) -> StrokesKept:
    """How much of a file is in the fills that were read of it, where they sound by this feel."""
    played = _by_drum(
        (hit.ms * file.tempo / 60_000, hit.surface) for hit in hear(file.events, {}).hits
    )
    read = _by_drum(
        (start + float(sound.onset), sound.surface)
        for start, fill in fills
        for sound in fill_timeline(fill, feel=feel)
    )
    off = _offset(played, read)
    moved = {drum: [at + off for at in times] for drum, times in played.items()}
    return StrokesKept(
        file.player,
        sum(map(len, played.values())),
        _matched(played, read),
        _matched(moved, read),
        sum(map(len, read.values())),
    )


def _by_drum(struck: Iterable[tuple[float, Surface]]) -> _Struck:
    found: _Struck = {}
    for at, surface in sorted(struck):
        found.setdefault(base(surface), []).append(at)
    return found


def _matched(played: _Struck, read: _Struck) -> int:
    return sum(len(_pairs(times, read.get(drum, []), _A_32ND)) for drum, times in played.items())


def _offset(played: _Struck, read: _Struck) -> float:
    """By how much the strokes as a whole are read later than they were played, in quarters."""
    off = [
        there - here
        for drum, times in played.items()
        for here, there in _pairs(times, read.get(drum, []), _A_16TH)
    ]
    return median(off) if off else 0.0


def _pairs(
    played: Sequence[float], read: Sequence[float], within: float
) -> list[tuple[float, float]]:
    """As many pairs as there can be of two lists in order, each time in one of them."""
    found, place = [], 0
    for here in played:
        while place < len(read) and read[place] < here - within - _ROUNDING:
            place += 1
        if place < len(read) and read[place] <= here + within + _ROUNDING:
            found.append((here, read[place]))
            place += 1
    return found
