"""A short measure before a bar line, joined to the bar that it belongs to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil

from rhythms.engine import Bar, Meter
from rhythms.engine.errors import MeterError
from rhythms.notation.reading.raw import RawMeasure, Strike


def with_pickups(measures: Sequence[RawMeasure]) -> Iterator[RawMeasure]:
    """The measures, each pick-up as one with the next: ``4 & | 1 2 3 4``.

    A pick-up is the first one, or one that its file does not count, where something is struck in
    it, it is shorter than a bar, and a whole bar of the same meter follows.
    """
    taken = False
    for place, measure in enumerate(measures):
        after = measures[place + 1] if place + 1 < len(measures) else None
        joined = None if taken else _joined(measure, after, first=place == 0)
        if joined is not None:
            yield joined
        elif not taken:
            yield measure
        taken = joined is not None


def _joined(before: RawMeasure, bar: RawMeasure | None, *, first: bool) -> RawMeasure | None:
    meter = before.meter
    if meter is None or bar is None or bar.meter != meter or not before.strikes:
        return None
    whole = bar.length == meter.length and before.length < meter.length
    if not whole or not (first or before.uncounted) or meter.bars > 1:
        return None
    over = _over(meter, before)
    if over is None:
        return None
    by = meter.length - before.length
    struck = _held_on(list(_later(before.strikes, by)), meter.length, bar.held)
    return replace(
        bar,
        meter=over,
        length=over.length,
        strikes=(*struck, *_later(bar.strikes, meter.length)),
        rests=(
            Fraction(0),
            *(rest + by for rest in before.rests),
            *(rest + meter.length for rest in bar.rests),
        ),
        held=Fraction(0),
        words=tuple(dict.fromkeys((*before.words, *bar.words))),
        counted=bar.counted or before.counted,
    )


def _over(meter: Meter, before: RawMeasure) -> Meter | None:
    """The meter of both: as the count line that came along has it, else in whole counts."""
    counts = ceil(before.length * meter.unit / 4)
    told = _told(before.counted, meter)
    try:
        return meter.after_pickup(max(counts, told))
    except MeterError:
        return None


def _told(counted: Bar | None, meter: Meter) -> int:
    return counted.meter.pickup if counted and counted.meter.one_bar == meter else 0


def only_pickup(measure: RawMeasure) -> RawMeasure:
    """Of a whole measure that its count line calls a pick-up, only that; others as they are."""
    counted, meter = measure.counted, measure.meter
    if counted is None or meter is None or not _told(counted, meter):
        return measure
    opens = counted.meter.opens_at
    if any(strike.onset < opens for strike in measure.strikes):
        return measure
    return replace(
        measure,
        length=measure.length - opens,
        strikes=tuple(_later(measure.strikes, -opens)),
        rests=tuple(rest - opens for rest in measure.rests if rest >= opens),
        uncounted=True,
    )


def _held_on(strikes: list[Strike], bar_line: Fraction, held: Fraction) -> list[Strike]:
    """The last note of a pick-up goes on as long as the bar holds it."""
    last = strikes[-1]
    if held and last.end == bar_line:
        strikes[-1] = replace(last, end=bar_line + held)
    return strikes


def _later(strikes: Sequence[Strike], by: Fraction) -> Iterator[Strike]:
    for strike in strikes:
        yield replace(strike, onset=strike.onset + by, end=strike.end + by)
