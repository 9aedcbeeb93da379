"""A phrase: groove, a smaller fill half-way, groove again, and the fill at its end."""

from __future__ import annotations

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.writing import Event
from rhythms.engine.errors import BarError

#: How many bars a phrase has.
PHRASE_BARS = (2, 4)


def phrase_of(bar: Bar, bars: int, smaller: int) -> Bar:
    """``bars`` bars with the fill of ``bar`` at their end, and its last beats half-way.

    ``smaller`` beats of its rhythm end the first half; after them the groove is taken up again.
    With 0 there is groove alone. Raises BarError for a bar that does not fit into half the phrase,
    or whose own fill is not longer than the smaller one.
    """
    if bar.groove_from or bar.open_from is not None or 2 * bar.meter.bars > bars:
        raise BarError(f"A phrase of {bars} bars ends with a fill of half of them at most.")
    meter, later = bar.meter.over(bars), (bars - bar.meter.bars) * bar.meter.bar_length
    events = [event._replace(onset=event.onset + later) for event in bar.events()]
    half = meter.length / 2
    if smaller:
        events += [event._replace(onset=event.onset + half) for event in _ending(bar, smaller)]
    struck = {event.onset for event in events}
    rests = (Event(n * meter.bar_length, rest=True) for n in range(bars))
    events += [rest for rest in rests if rest.onset not in struck]
    notes = Bar.from_events(meter, sorted(events)).notes
    return Bar(meter, notes, groove_from=(half,) if smaller else ())


def _ending(bar: Bar, beats: int) -> list[Event]:
    """The last beats of its rhythm; onsets from its end, below 0."""
    if beats >= len(bar.meter.beats) - len(bar.lead_in):
        raise BarError("The smaller fill has fewer beats than the fill.")
    late = bar.last_beats(beats)
    end, start = late.meter.length, late.meter.beats[-beats].onset
    kept = [event for event in late.events() if event.onset >= start]
    return [event._replace(onset=event.onset - end) for event in kept]
