"""A bar's rhythm turned round, begun later, or with an answer left open behind it."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.spoken_counts import count_labels
from rhythms.engine.bars.writing import Event
from rhythms.engine.errors import BarError, NotCountableError


def backwards(bar: Bar) -> Bar:
    """The rhythm from its end to its start: the last note or rest comes first.

    Raises BarError where that cannot be written. Twice is the bar itself.
    """
    return _of_the_call(bar, _backwards)


def begun_later(bar: Bar, by: Fraction) -> Bar:
    """The rhythm ``by`` quarter lengths later; what passes the last bar line is left off.

    Raises BarError where that cannot be written, or counted: triplets fall between the counts.
    """
    return _of_the_call(bar, lambda call: _begun_later(call, by))


def with_own_answer(bar: Bar) -> Bar:
    """The bar and as many bars after it that are left open; one that is open stays as it is.

    A pick-up is not answered. Raises MeterError where there are then too many bars.
    """
    if bar.open_from is not None:
        return bar
    meter = bar.meter.first(bar.meter.bars + bar.meter.whole_bars)
    rests = (Event(n * meter.bar_length, rest=True) for n in range(bar.meter.bars, meter.bars))
    called = Bar.from_events(meter, [*bar.events(), *rests])
    return Bar(meter, called.notes, bar.meter.length, bar.groove_from)


def _backwards(bar: Bar) -> Bar:
    events = bar.events()
    ends = [*(event.onset for event in events[1:]), bar.meter.length]
    turned = [
        event._replace(onset=bar.meter.length - end)
        for event, end in zip(events, ends, strict=True)
    ]
    return Bar.from_events(bar.meter, turned[::-1])


def _begun_later(bar: Bar, by: Fraction) -> Bar:
    moved = (event._replace(onset=event.onset + by) for event in bar.events())
    kept = [event for event in moved if event.onset < bar.meter.length]
    later = Bar.from_events(bar.meter, [Event(Fraction(0), rest=True), *kept])
    try:
        count_labels(tuple(note.onset for note in later.sounded), later.meter)
    except NotCountableError as error:
        raise BarError(f"The rhythm cannot begin {by} quarters later. {error}") from error
    return later


def _of_the_call(bar: Bar, turned: Callable[[Bar], Bar]) -> Bar:
    """What is left open stays so."""
    if bar.open_from is None:
        return turned(bar)
    call = tuple(note for note in bar.notes if note.onset < bar.open_from)
    bars = bar.meter.bar_at(bar.open_from)
    return with_own_answer(turned(Bar(bar.meter.first(bars), call)))
