"""A part of a fill in a small bar of its own, to be played over and over."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.meter import Beat, Meter
from rhythms.engine.bars.writing import Event
from rhythms.engine.errors import EngineError, FillError
from rhythms.engine.fills.fill import Fill

#: Shorter than this many beats nobody finds the way back to its start.
FEWEST_BEATS = 2


class FillPart(NamedTuple):
    """Some beats of a fill as a ``fill`` of one bar; its strokes are the whole one's from
    ``first`` on."""

    fill: Fill
    first: int

    @property
    def notes(self) -> range:
        """Which strokes of the whole fill they are."""
        return range(self.first, self.first + len(self.fill.strokes))


def part_around(fill: Fill, notes: Collection[int]) -> FillPart:
    """The whole beats with these notes, the note before and the one after them.

    At most half of what is written where that holds the notes; at least two beats where there are
    as many. Where the notes before and after would take more, they are left out. What goes over a
    beat and cannot be cut is taken whole.
    """
    beats = _written(fill)
    last = len(fill.strokes) - 1
    wanted = (max(0, min(notes) - 1), min(last, max(notes) + 1))
    half = max(FEWEST_BEATS, (len(beats) + 1) // 2)
    span = _beats_of(fill, beats, wanted)
    if len(span) > half:
        span = _beats_of(fill, beats, (min(notes), max(notes)))
    return _first_that_can_be_written(fill, beats, span)


def half_of(fill: Fill, *, second: bool) -> FillPart:
    """The first or the second half of its beats; all of a fill of less than two."""
    beats = _written(fill)
    middle = (len(beats) + 1) // 2
    span = range(middle, len(beats)) if second and len(beats) > 1 else range(middle)
    return _first_that_can_be_written(fill, beats, span)


def all_of(fill: Fill) -> FillPart:
    """All its beats from the first stroke on, without what is left open."""
    beats = _written(fill)
    return _first_that_can_be_written(fill, beats, range(len(beats)))


def _written(fill: Fill) -> Sequence[Beat]:
    """The beats from the first stroke to the last note's end."""
    start, end = fill.bar.starts_at, fill.bar.written_end
    return [beat for beat in fill.bar.meter.written_beats if beat.end > start and beat.onset < end]


def _beats_of(fill: Fill, beats: Sequence[Beat], notes: tuple[int, int]) -> range:
    """The beats from the first note to the last, and one more where they are too few."""
    first, last = (fill.bar.sounded[note].onset for note in notes)
    inside = [n for n, beat in enumerate(beats) if beat.end > first and beat.onset <= last]
    start, end = inside[0], inside[-1] + 1
    missing = max(0, FEWEST_BEATS - (end - start))
    after = min(missing, len(beats) - end)
    return range(max(0, start - (missing - after)), end + after)


def _first_that_can_be_written(fill: Fill, beats: Sequence[Beat], span: range) -> FillPart:
    for wider in _wider(span, len(beats)):
        try:
            return _cut(fill, beats[wider.start : wider.stop])
        except EngineError:
            continue  # something goes over a beat that would be cut
    return FillPart(fill, 0)


def _wider(span: range, beats: int) -> Iterator[range]:
    start, stop = span.start, span.stop
    yield span
    while start > 0 or stop < beats:
        stop = min(beats, stop + 1)
        yield range(start, stop)
        start = max(0, start - 1)
        yield range(start, stop)


def _cut(fill: Fill, beats: Sequence[Beat]) -> FillPart:
    """Raises BarError, MeterError, FillError."""
    start, end = beats[0].onset, beats[-1].end
    inside = [event for event in fill.bar.events() if start <= event.onset < end]
    events = [event._replace(onset=event.onset - start) for event in inside]
    if not events or events[0].onset:
        events.insert(0, Event(Fraction(0), rest=True))
    struck = [note.index for note in fill.bar.sounded if start <= note.onset < end]
    if not struck:
        raise FillError("Nothing is struck in these beats.")
    bar = Bar.from_events(_meter_of(fill.bar.meter, beats), events)
    return FillPart(Fill(bar, tuple(fill.strokes[index] for index in struck)), struck[0])


def _meter_of(meter: Meter, beats: Sequence[Beat]) -> Meter:
    one = Fraction(4, meter.unit)
    sizes = tuple(int(beat.length / one) for beat in beats)
    groups = sizes if meter.in_eighths and len(sizes) > 1 else ()
    return Meter(sum(sizes), meter.unit, groups=groups)
