"""The counts that no stroke falls on, as a voice of its own whose notes are not drawn.

The engraver hangs words on notes alone. Notes also keep the words apart.
"""

from __future__ import annotations

from fractions import Fraction

from lxml import etree

from rhythms.engine import Bar, Fill
from rhythms.engine.bars.count_line import Count, every_count
from rhythms.engine.bars.writing import Event
from rhythms.engine.fills.fill import snare_fill
from rhythms.notation.engraving.mei_layer import MIDDLE_LINE, LayerWriter, syllable, with_duration
from rhythms.notation.layout.grouping import tuplets
from rhythms.notation.layout.parts import Part
from rhythms.notation.layout.voices import voices

#: The class of a note that only carries its count: its head is taken out of the drawing.
SILENT = "silent-count"
_NUMBER = 3


def silent_counts(fill: Fill) -> tuple[Count, ...]:
    """The counts of the bar, in order, that are said without a stroke."""
    struck = {note.onset for note in fill.bar.sounded}
    counts = every_count(tuple(note.onset for note in fill.bar.notes), fill.bar.meter)
    return tuple(count for count in counts if count.offset not in struck)


class CountWriter(LayerWriter):
    """Writes the silent counts of a fill, in brackets, as the row of words number ``row``."""

    def __init__(self, fill: Fill, prefix: str, row: int) -> None:
        bar = fill.bar
        counts = every_count(tuple(note.onset for note in bar.notes), bar.meter)
        places = Bar.from_events(bar.meter, [Event(count.offset) for count in counts])
        symbols = voices(snare_fill(places))[0].symbols
        groups = tuplets(symbols, bar.meter)
        super().__init__(Part(_NUMBER, True, symbols, groups, groups, ()), prefix, ())
        self.row = row
        self.silent: dict[Fraction, str] = {
            count.offset: f"({count.label})" for count in silent_counts(fill)
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
