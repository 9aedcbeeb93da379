"""From where things start to how they are written: values, splits at beats, ties."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from rhythms.engine.bars.meter import Meter
from rhythms.engine.bars.values import simple_value, tuplet_value
from rhythms.engine.errors import BarError

_HALF = Fraction(1, 2)
_SIXTEENTH = Fraction(1, 4)
_FINEST = Fraction(1, 8)


class Event(NamedTuple):
    """A stroke or rest that starts at ``onset`` quarter lengths and lasts until the next event."""

    onset: Fraction
    rest: bool = False
    accent: bool = False


class WrittenNote(NamedTuple):
    """One written note or rest, in the field order of ``Note``."""

    onset: Fraction
    length: Fraction
    value: str
    rest: bool
    accent: bool
    tie: bool


def write_out(meter: Meter, events: tuple[Event, ...]) -> Iterator[WrittenNote]:
    """The symbols of a bar. Raises BarError where events run backwards or leave the start empty."""
    if not events or events[0].onset != 0:
        raise BarError("A bar starts with a note or a rest on its first count.")
    ends = [event.onset for event in events[1:]] + [meter.length]
    for index, (event, end) in enumerate(zip(events, ends, strict=True)):
        if end <= event.onset:
            raise BarError(
                f"Note {index + 1} has no length: it starts at {event.onset}.", note=index
            )
        yield from _symbols(meter, event, end)


def _symbols(meter: Meter, event: Event, end: Fraction) -> Iterator[WrittenNote]:
    for number, (onset, stop, value) in enumerate(_pieces(meter, event.onset, end)):
        first = number == 0
        yield WrittenNote(
            onset,
            stop - onset,
            value,
            event.rest,
            event.accent and first,
            not first and not event.rest,
        )


def _pieces(
    meter: Meter, onset: Fraction, end: Fraction
) -> Iterator[tuple[Fraction, Fraction, str]]:
    """Cut [onset, end) into written values, so that the beats stay visible (common practice)."""
    while onset < end:
        stop = _next_cut(meter, onset, end)
        value = value_at(meter, onset, stop)
        if value is None:
            raise BarError(f"A length of {stop - onset} quarters at {onset} cannot be written.")
        yield onset, stop, value
        onset = stop


def _next_cut(meter: Meter, onset: Fraction, end: Fraction) -> Fraction:
    """How far the first symbol from ``onset`` may reach."""
    beat = meter.beat_at(onset)
    end = min(end, meter.bar_end(onset))
    if end > beat.end:
        end = _cut_across_beats(meter, onset, end)
    if value_at(meter, onset, end) is not None:
        return end
    # Inside a beat: show its middle first, then the next finer positions.
    step = _HALF
    while step >= _FINEST:
        cut = (onset - beat.onset) // step * step + step + beat.onset
        if cut < end and value_at(meter, onset, cut) is not None:
            return cut
        step /= 2
    return end


def _cut_across_beats(meter: Meter, onset: Fraction, end: Fraction) -> Fraction:
    end = _within_group(meter, onset, end)
    on_beat = meter.is_on_beat(onset)
    ends_on_beat = end == meter.length or meter.is_on_beat(end)
    if on_beat and ends_on_beat and simple_value(end - onset):
        return end
    if _may_cross(meter, onset, end):
        return end
    if on_beat:
        stops = [beat.end for beat in meter.beats if onset < beat.end <= end]
        return max(stop for stop in stops if simple_value(stop - onset))
    return _next_cut(meter, onset, meter.beat_at(onset).end)


def _within_group(meter: Meter, onset: Fraction, end: Fraction) -> Fraction:
    """Groups of quarters stay visible: a symbol fills whole ones, or stays in its own."""
    starts = meter.group_starts
    fills = onset in starts and (end in starts or end == meter.bar_end(onset))
    if not starts or (fills and simple_value(end - onset)):
        return end
    return min([end, *(start for start in starts if start > onset)])


def _may_cross(meter: Meter, onset: Fraction, end: Fraction) -> bool:
    """Syncopation in eighths is written as one note, but not across the middle of a 4/4 bar."""
    if meter.in_eighths or onset % _HALF or end % _HALF or not simple_value(end - onset):
        return False
    middle = meter.bar_end(onset) - meter.bar_length / 2
    return not (meter.count == 4 and onset < middle < end)


def value_at(meter: Meter, onset: Fraction, end: Fraction) -> str | None:
    """The value class of one symbol, by where it stands: duple positions plain, others in tuplets.

    None where there is no such value, or it would hide the middle of a beat: what begins or ends
    finer than 16ths, and a triplet of counted eighths, stays in its half or its eighth.
    """
    length = end - onset
    offset = onset - meter.beat_at(onset).onset
    if offset % _FINEST == 0 and length % _FINEST == 0:
        finer = offset % _SIXTEENTH or length % _SIXTEENTH
        return None if finer and _over_a_half(offset, length) else simple_value(length)
    if meter.in_eighths and _over_a_half(offset, length):
        return None
    return tuplet_value(length)


def _over_a_half(offset: Fraction, length: Fraction) -> bool:
    """Whether a symbol that begins or ends inside a half of a beat, or an eighth, crosses it."""
    return offset // _HALF != -(-(offset + length) // _HALF) - 1
