"""A fill as the stage shows it: rows without clef and meter, as large as a screen lets them be.

``data-rows`` of the drawing says where its rows begin and the last one ends, from the top down in
the units of its ``viewBox``, of which 720 are a staff: a page shows as many of them as it has room
for. Ids are those of `svg`.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from math import ceil
from typing import NamedTuple

from rhythms.engine import Fill
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.notation.engraving.cleaning import clean
from rhythms.notation.engraving.engraver import engrave
from rhythms.notation.engraving.mei import count_row, document, measure, prefix_of, word_rows
from rhythms.notation.engraving.mei_layer import LayerWriter, Row, make
from rhythms.notation.engraving.stacked_rows import stacked
from rhythms.notation.engraving.svg import stroke_width, with_room
from rhythms.notation.engraving.swing_sign import swing_sign
from rhythms.notation.fill_text import answer_begins, description, title
from rhythms.notation.hat_signs import hat_signs
from rhythms.notation.layout.stage_rows import StageRow, onsets_in, row_parts, stage_rows
from rhythms.notation.xml import etree, to_text

#: Changes whenever the same fill would be drawn differently.
STAGE_VERSION = "stage-2"
#: What pressed notes take beyond the end of their bar.
_BEYOND = 12
#: How many times the least width a row may have, until what is in it is too small to be read.
_READABLE = 98 / 72
#: So large, words may stand nearer.
_APART = 0.12
_SIXTEENTH = Fraction(1, 4)


class StageForm(NamedTuple):
    """For a way to hold a screen: at most so many onsets a row, widths in the engraver's units.

    A row of the least width is 390 px wide where its staff is 98 px high: a black head is then 30
    px wide, a cross 28, which on a phone of that width is 16 minutes of arc at a metre. ``widest``
    is a row in which a cross just has that: notes are pressed together up to there.
    """

    most: int
    least: int
    widest: int
    a_note: int = 0
    letters: bool = True

    @property
    def upright(self) -> bool:
        """Whether all rows are as wide as a screen held upright."""
        return not self.a_note


LEAST = 286
PORTRAIT = StageForm(9, LEAST, 289)
#: Beside a rail of 80 px on a phone of 844.
LANDSCAPE = StageForm(21, LEAST, 568, a_note=31)
#: Short rows, for who wants them larger.
LARGE = StageForm(5, 236, 239)
#: What comes before a fill, small above it.
GROOVE = StageForm(32, LEAST, 1056, a_note=33, letters=False)
#: By the names that they have as ways of drawing.
STAGE_FORMS = {
    "stage-portrait": PORTRAIT,
    "stage-landscape": LANDSCAPE,
    "stage-large": LARGE,
    "stage-groove": GROOVE,
}


def stage_svg(
    fill: Fill, form: StageForm, *, prefix: str | None = None, feel: Feel = STRAIGHT
) -> str:
    """The fill in rows; stroke number ``i`` is the group ``{prefix}-s{i}``, as of `svg`.

    It is written straight, with the sign of the ``feel`` above. Raises EngravingError.
    """
    prefix, heard = prefix or prefix_of(fill), feel.in_meter(fill.bar.meter)
    rows = stage_rows(fill, form.most)
    drawing = _drawn(fill, rows, form, prefix, heard)
    while form.upright and _width_of(drawing) > 10 * _most_width(form, rows):
        # Its widest row needs more room than it has: in more rows it is larger.
        shorter = stage_rows(fill, max(onsets_in(fill, row) for row in rows) - 1)
        if len(shorter) == len(rows):
            break
        rows = shorter
        drawing = _drawn(fill, rows, form, prefix, heard)
    return drawing


def _most_width(form: StageForm, rows: Sequence[StageRow]) -> float:
    """One row is soon larger as two; where more would be lower, rows are a little small first."""
    return form.widest if len(rows) == 1 else form.least * _READABLE


def _drawn(fill: Fill, rows: Sequence[StageRow], form: StageForm, prefix: str, heard: Feel) -> str:
    written = to_text(_mei(fill, rows, prefix, _letters(fill, form)))
    words, sign = description(fill, feel=heard), swing_sign(heard)

    def draw(width: int) -> str:
        return stacked(clean(engrave(written, width), prefix, title(fill), words), sign)

    width = _width(fill, rows, form)
    drawing = with_room(draw, width, _APART)
    beyond = ceil(_width_of(drawing) / 10) - form.widest
    if 0 < beyond <= _BEYOND:
        drawing = with_room(draw, width - beyond, _APART)
    return drawing


def _width_of(drawing: str) -> int:
    return int(etree.fromstring(drawing.encode()).get("viewBox", "").split()[2])


def _mei(
    fill: Fill, rows: Sequence[StageRow], prefix: str, letters: Sequence[Row]
) -> etree._Element:
    signs, beats = hat_signs(fill), fill.bar.groove_beats
    written = []
    for row, spans in zip(rows, row_parts(fill, rows), strict=True):
        written.append(make("sb"))
        for span, parts in zip(row, spans, strict=True):
            writers = [LayerWriter(part, prefix, letters, signs, beats) for part in parts]
            bar, into = divmod(span.start, fill.bar.meter.bar_length)
            answers = not into and answer_begins(fill.bar, int(bar))
            right = "invis" if span is row[-1] else "single"
            look = {"right": right, "metcon": "false"}
            written.append(measure(writers, look, answers=answers))
    return document(None, *written, clef=False)


def _letters(fill: Fill, form: StageForm) -> list[Row]:
    """The hands where rules fix them, else what is counted."""
    if not form.letters:
        return []
    return word_rows(fill, counts=False) or [_counts(fill)]


def _counts(fill: Fill) -> Row:
    """The counts of the strokes; in a beat finer than 16ths the numbers alone, or they collide."""
    beat_at = fill.bar.meter.beat_at
    said = [count.offset for count in fill.bar.spoken]
    fine = {beat_at(one) for one, after in pairwise(said) if after - one < _SIXTEENTH}
    return tuple(
        word if word.isdigit() or beat_at(note.onset) not in fine else ""
        for note, word in zip(fill.bar.sounded, count_row(fill), strict=True)
    )


def _width(fill: Fill, rows: Sequence[StageRow], form: StageForm) -> int:
    """Wide enough for the row that needs most."""
    wanted = max(onsets_in(fill, row) for row in rows) * form.a_note
    letters = next(iter(_letters(fill, form)), ("",) * len(fill.strokes))
    needed = [
        sum(
            # One letter is no wider than a head; where they touch it is drawn wider.
            stroke_width(stroke, letter[1:] and letter)
            for note, stroke, letter in zip(fill.bar.sounded, fill.strokes, letters, strict=True)
            if row[0].start <= note.onset < row[-1].end
        )
        for row in rows
    ]
    return max(form.least, min(wanted, form.widest - _BEYOND), *needed)
