"""The counts that no stroke falls on, as a voice of its own whose notes are not drawn.

The engraver hangs words on notes alone. Notes also keep the words apart.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from rhythms.engine import Bar, Fill
from rhythms.engine.bars.beat_divisions import Count
from rhythms.engine.bars.writing import Event
from rhythms.engine.fills.fill import snare_fill
from rhythms.notation.engraving.mei_layer import MIDDLE_LINE, LayerWriter, syllable, with_duration
from rhythms.notation.layout.parts import drawn_from, measures
from rhythms.notation.staff_placement import ALONG_VOICE
from rhythms.notation.xml import etree

#: The class of a note that only carries its count: its head is taken out of the drawing.
SILENT = "silent-count"
_NUMBER = ALONG_VOICE + 1


def silent_counts(fill: Fill, bar: int) -> tuple[Count, ...]:
    """The counts, in order, that are said without a stroke in one of the fill's bars, from 0."""
    struck = {note.onset for note in fill.bar.sounded}
    opens = drawn_from(fill)
    return tuple(
        count
        for count in fill.bar.spoken
        if count.offset not in struck
        and count.offset >= opens
        and fill.bar.meter.bar_at(count.offset) == bar
    )


class CountWriter(LayerWriter):
    """Writes the silent counts of one bar, in brackets, as the row of words number ``row``."""

    def __init__(self, fill: Fill, prefix: str, row: int, bar: int) -> None:
        events = [Event(count.offset) for count in fill.bar.spoken]
        places = Bar.from_events(fill.bar.meter, events)
        (part,) = measures(snare_fill(places), drawn_from(fill))[bar]
        unmarked = replace(part, number=_NUMBER, unmarked=part.tuplets, beams=())
        super().__init__(unmarked, prefix, (), ())
        self.row = row
        self.silent: dict[Fraction, str] = {
            count.offset: f"({count.label})" for count in silent_counts(fill, bar)
        }

    def _symbol(self, index: int) -> etree._Element:
        symbol = self.part.symbols[index]
        label = self.silent.get(symbol.onset) if symbol.attack else None
        if label is None:
            return with_duration("space", symbol)
        look = {"loc": MIDDLE_LINE, "stem.visible": "false", "type": SILENT}
        note = with_duration("note", symbol, look)
        note.append(syllable(self.row, label))
        return note
