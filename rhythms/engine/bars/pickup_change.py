"""A bar with another pick-up: with one where it had none, with a longer or shorter one, without."""

from __future__ import annotations

from fractions import Fraction

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.meter import Meter
from rhythms.engine.bars.writing import Event


def with_pickup(bar: Bar, counts: int) -> Bar:
    """The same bars behind a pick-up of so many ``counts``; behind none for 0.

    Counts that come to it sound. A note that is held out of counts that are left out begins where
    what is left begins. Raises MeterError for a pick-up as long as a bar, or for too many bars.

    >>> with_pickup(Bar.from_counts("1 2 3 4"), 2).counts()
    '3 4 | 1 2 3 4'
    >>> with_pickup(Bar.from_counts("4 &> | - 2 3 4"), 0).counts()
    '1> 2 3 4'
    """
    if counts == bar.meter.pickup:
        return bar
    whole = bar.meter.over(bar.meter.whole_bars)
    meter = whole.after_pickup(counts) if counts else whole
    later = meter.bar_line - bar.meter.bar_line
    opened = bar.meter.opens_at + later
    events = [event._replace(onset=event.onset + later) for event in bar.events()]
    written = [event for event in events if event.onset >= opened]
    added = [event for event in _each_count(meter) if event.onset < opened]
    return Bar.from_events(meter, [*added, *_from(meter.opens_at, written)])


def _each_count(meter: Meter) -> list[Event]:
    """One for each count of its pick-up."""
    return [
        Event(meter.opens_at + number * Fraction(4, meter.unit)) for number in range(meter.pickup)
    ]


def _from(start: Fraction, events: list[Event]) -> list[Event]:
    """Those from ``start`` on, what is held there begun there."""
    kept = [event for event in events if event.onset >= start]
    if kept and kept[0].onset == start:
        return kept
    held = [event._replace(onset=start) for event in events if event.onset < start]
    return [*held[-1:], *kept]
