"""A bar with its strokes taken as a groove: a line for each drum."""

from __future__ import annotations

from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.playback.groove import GrooveError
from rhythms.engine.playback.groove_line import LineHit, spell_line
from rhythms.engine.playback.groove_pattern import MOST_GROOVE_BARS, GroovePattern


def groove_of_fill(fill: Fill, name: str) -> GroovePattern:
    """The fill drum by drum; a groove has neither hands nor ornaments.

    Raises GrooveError for a bar with a pick-up, or of more bars than a groove has.
    """
    meter = fill.bar.meter
    if meter.pickup or meter.bars > MOST_GROOVE_BARS:
        raise GrooveError("A groove is one bar or two, without a pick-up.")
    struck: dict[Surface, list[LineHit]] = {}
    for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True):
        for hit in stroke.hits:
            struck.setdefault(hit.surface, []).append(LineHit(note.onset, hit.dynamic))
    lines = {drum: spell_line(struck[drum], meter) for drum in Surface if drum in struck}
    return GroovePattern(name, meter.one_bar, lines)
