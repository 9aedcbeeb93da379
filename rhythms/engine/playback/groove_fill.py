"""A groove written as strokes: what engraves, exports and plays a fill does so for a groove."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from fractions import Fraction

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.meter import Meter
from rhythms.engine.bars.writing import Event
from rhythms.engine.fills.fill import Fill, Hit, Stroke, stroke_of
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.playback.groove import Groove, GrooveHit

_FOOT = {Surface.BASS_DRUM: "RF", Surface.HI_HAT_FOOT: "LF"}


def groove_fill(groove: Groove) -> Fill:
    """The bars of the groove, hands left open. Raises BarError where they cannot be written."""
    return written(groove.hits, groove.meter)


def setup_fill(groove: Groove) -> Fill | None:
    """The bar that leads into a fill, as it is played first; None where the groove has none."""
    if not groove.setups:
        return None
    return written(groove.setups[0], groove.meter.one_bar)


def groove_fills(groove: Groove) -> tuple[Fill, ...]:
    """All there is to be seen of a groove: its bars, then the one that leads into a fill, if any.

    Raises BarError.
    """
    setup = setup_fill(groove)
    return (groove_fill(groove), setup) if setup else (groove_fill(groove),)


def struck_together(hits: Iterable[GrooveHit]) -> dict[Fraction, Stroke]:
    """What is struck at each onset, hands left open."""
    struck: dict[Fraction, list[Hit]] = defaultdict(list)
    for onset, surface, dynamic in hits:
        struck[onset].append(Hit(surface, _FOOT.get(surface), dynamic))
    return {onset: stroke_of(together) for onset, together in struck.items()}


def written(hits: Iterable[GrooveHit], meter: Meter) -> Fill:
    """Bars of a groove as strokes. Raises BarError where they cannot be written."""
    struck = struck_together(hits)
    events = [
        Event(onset, accent=any(hit.dynamic == "accent" for hit in stroke.hits))
        for onset, stroke in struck.items()
    ]
    # Whoever reads it sees the beat: a note ends before one that nothing begins.
    silent = {Fraction(0), *(beat.onset for beat in meter.beats)} - struck.keys()
    events += [Event(onset, rest=True) for onset in silent]
    bar = Bar.from_events(meter, sorted(events))
    return Fill(bar, tuple(struck[note.onset] for note in bar.sounded))
