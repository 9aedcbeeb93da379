"""A fill as the stage shows it: rows without clef and meter, as large as a screen lets them be.

``data-rows`` of the drawing says where its rows begin and the last one ends, from the top down in
the units of its ``viewBox``, of which 720 are a staff: a page shows as many of them as it has room
for. Ids are those of `svg`.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from rhythms.engine import Fill
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.notation.engraving.cleaning import clean
from rhythms.notation.engraving.cropping import extent
from rhythms.notation.engraving.drawn import place_of
from rhythms.notation.engraving.engraver import engrave
from rhythms.notation.engraving.mei import count_row, document, measure, prefix_of, word_rows
from rhythms.notation.engraving.mei_layer import LayerWriter, Row, make
from rhythms.notation.engraving.svg import stroke_width, with_room
from rhythms.notation.engraving.swing_sign import swing_sign
from rhythms.notation.fill_text import answer_begins, description, title
from rhythms.notation.hat_signs import hat_signs
from rhythms.notation.layout.stage_rows import StageRow, onsets_in, row_parts, stage_rows
from rhythms.notation.xml import etree, to_text

#: Changes whenever the same fill would be drawn differently.
STAGE_VERSION = "stage-1"
#: In tenths of the engraver's units: half a staff space.
_MARGIN = 90
#: So large, words may stand nearer.
_APART = 0.12
#: By how much a row may be wider than a screen held upright, in tenths of the engraver's units.
_TOO_WIDE = 10.2
_SIXTEENTH = Fraction(1, 4)


class StageForm(NamedTuple):
    """For a way to hold a screen: at most so many onsets a row, widths in the engraver's units.

    A row of the least width is 390 px wide where its staff is 98 px high: a note's head is then 28
    px wide, which on a phone of that width is 16 minutes of arc at a metre.
    """

    most: int
    least: int
    a_note: int
    letters: bool = True

    @property
    def upright(self) -> bool:
        """Whether all rows are as wide as a screen held upright."""
        return not self.a_note


LEAST = 286
PORTRAIT = StageForm(9, LEAST, 0)
LANDSCAPE = StageForm(21, LEAST, 33)
#: Short rows, for who wants them larger.
LARGE = StageForm(5, 236, 0)
#: What comes before a fill, small above it.
GROOVE = StageForm(32, LEAST, 33, letters=False)
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
    prefix = prefix or prefix_of(fill)
    rows = stage_rows(fill, form.most)
    drawing = _drawn(fill, rows, form, prefix, feel)
    if len(rows) == 1 and form.upright and _width_of(drawing) > form.least * _TOO_WIDE:
        # Its words need more room than it has: in two rows it is larger.
        drawing = _drawn(fill, stage_rows(fill, onsets_in(fill, rows[0]) - 1), form, prefix, feel)
    return _in_rows(drawing)


def _drawn(fill: Fill, rows: Sequence[StageRow], form: StageForm, prefix: str, feel: Feel) -> str:
    written = to_text(_mei(fill, rows, prefix, _letters(fill, form)))
    heard = feel.in_meter(fill.bar.meter)
    words, sign = description(fill, feel=heard), swing_sign(heard)

    def draw(width: int) -> str:
        return clean(engrave(written, width), prefix, title(fill), words, sign)

    return with_room(draw, _width(fill, rows, form), _APART)


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
            stroke_width(stroke, letter)
            for note, stroke, letter in zip(fill.bar.sounded, fill.strokes, letters, strict=True)
            if row[0].start <= note.onset < row[-1].end
        )
        for row in rows
    ]
    return max(form.least, min(wanted, form.most * form.a_note), *needed)


def _in_rows(drawing: str) -> str:
    """The rows close under each other, and where they begin."""
    root = etree.fromstring(drawing.encode())
    lines = list(root[-1])
    _, down = place_of(root[-1]) or (0, 0)
    left, top, width, _ = map(int, root.get("viewBox", "").split())
    reaches = [[y + down for one in line.iter() for y in extent(one)] for line in lines]
    edges, below = [top], top
    for line, ys in zip(lines, reaches, strict=True):
        up = below + _MARGIN - min(ys)
        if line is lines[0]:
            up = 0
        else:
            line.set("transform", f"translate(0, {up})")
        below = max(ys) + up + _MARGIN
        edges.append(below)
    root.set("data-rows", " ".join(map(str, edges)))
    root.set("viewBox", f"{left} {top} {width} {below - top}")
    return to_text(root)
