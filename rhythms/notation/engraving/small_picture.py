"""A fill as small as a line of a list: heads, stems and beams on five lines, to tell fills apart.

No clef, meter, letters, signs or ornaments: at this size they are specks. Drawn without any id, as
one path of what is filled and one for each width of line, so that a page may hold forty of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from rhythms.engine import Fill, Note
from rhythms.engine.bars.bar import Sounded
from rhythms.notation.engraving.engraver import engrave
from rhythms.notation.engraving.flat_shapes import FlatShapes
from rhythms.notation.engraving.mei import document
from rhythms.notation.engraving.mei_layer import ID, LayerWriter, make
from rhythms.notation.engraving.path_data import PathPlace
from rhythms.notation.layout.parts import Part
from rhythms.notation.layout.stage_rows import StageRow, bar_rows, in_two, row_parts
from rhythms.notation.xml import Maker, etree, to_text

_make = Maker("http://www.w3.org/2000/svg")
#: Changes whenever the same fill would be drawn differently.
SMALL_VERSION = "small-2"

#: CSS pixels of a row, where its staff is 25 high.
WIDTH, ROW_HEIGHT = 168, 60
#: Of longer phrases, the last bars that are played.
MOST_ROWS = 2
#: So many notes and rests of a bar are small in one row, but still told apart.
_MANY = 24
#: In tenths of a pixel: a staff space, and where the staff begins unless that leaves no room.
_SPACE, _STAFF_TOP, _MARGIN = 62.5, 285, 12
#: The engraver's units in a staff space, and in tenths of them as it draws.
_UNITS, _DRAWN = 18, 180
#: What a note needs, in the engraver's units; more notes are drawn smaller.
_A_NOTE = 27
_PREFIX = "s"
#: How often a row that is too high is drawn wider; what is too high then does not reach its end.
_TRIES = 4
#: What stays free at the end of a row, in tenths of the engraver's units.
_RIGHT = 20
#: Lines may not get thinner, in tenths of a pixel.
_THINNEST = 6


class PictureSize(NamedTuple):
    """In CSS pixels."""

    width: int
    height: int


def picture_size(fill: Fill) -> PictureSize:
    """How large its small picture is; known without drawing it."""
    return _size(_rows(_plain(fill)))


def _size(rows: Sequence[StageRow]) -> PictureSize:
    return PictureSize(WIDTH, ROW_HEIGHT * len(rows))


def small_svg(fill: Fill) -> str:
    """The small picture. Raises EngravingError."""
    plain = _plain(fill)
    rows = _rows(plain)
    drawn = [_row(plain, spans) for spans in row_parts(plain, rows, as_one=True)]
    paths = [one for number, row in enumerate(drawn) for one in row.paths(10 * ROW_HEIGHT * number)]
    return _svg(_size(rows), *paths)


def empty_svg(size: PictureSize) -> str:
    """The room of a picture that is not there."""
    return _svg(size, _make("g"))


def _svg(size: PictureSize, *drawn: etree._Element) -> str:
    box = f"0 0 {10 * size.width} {10 * size.height}"
    look = {"viewBox": box, "class": "small-engraving", "fill": "currentColor"}
    return to_text(_make("svg", look, *drawn))


def _rows(plain: Fill) -> Sequence[StageRow]:
    """A row for each of the last bars that are played, or two for one of many notes."""
    rows = bar_rows(plain)
    last = [row for row in rows if _number(plain.bar.sounded, row)][-MOST_ROWS:] or rows[:1]
    if len(last) < MOST_ROWS and _number(plain.bar.notes, last[0]) > _MANY:
        return in_two(plain, last[0])
    return last


def _number(notes: Iterable[Note | Sounded], row: StageRow) -> int:
    return sum(row[0].start <= note.onset < row[-1].end for note in notes)


def _plain(fill: Fill) -> Fill:
    """The same heads alone."""
    strokes = tuple(
        stroke._replace(
            dynamic="normal",
            ornament=None,
            beside=tuple(hit._replace(dynamic="normal") for hit in stroke.beside),
        )
        for stroke in fill.strokes
    )
    return replace(fill, strokes=strokes, ostinato=None)


class _Row(NamedTuple):
    """One row of bars as it was engraved, and a tenth of a pixel in what it was drawn in."""

    shapes: FlatShapes
    scale: float

    def paths(self, top: int) -> Iterator[etree._Element]:
        """Its paths, in a row that begins at ``top``."""
        shapes, scale = self
        upper, lower = shapes.extent
        staff = shapes.staff.heights[0]
        staff_top = _STAFF_TOP + 2 * (_SPACE - scale * _DRAWN)
        highest = _MARGIN - (upper - staff) * scale
        lowest = 10 * ROW_HEIGHT - _MARGIN - (lower - staff) * scale
        down = top + min(max(staff_top, highest), lowest) - staff * scale
        where = PathPlace(0, down, scale, scale)
        for width, lines in shapes.lines(where, 10 * WIDTH / scale).items():
            look = {"stroke": "currentColor", "stroke-width": f"{max(_THINNEST, width):g}"}
            yield _make("path", {"fill": "none", "d": lines} | look)
        yield _make("path", {"d": shapes.filled(where)})


def _row(fill: Fill, spans: Sequence[tuple[Part, ...]]) -> _Row:
    """Engraved at the size that fills the width, or smaller until it fits."""
    # Without a break to go by the engraver would make its own.
    written = to_text(document(None, make("sb"), *_measures(fill, spans), clef=False))
    symbols = sum(len(part.symbols) for parts in spans for part in parts)
    width = max(round(10 * WIDTH / _SPACE * _UNITS), _A_NOTE * symbols)
    for _ in range(_TRIES):
        shapes = FlatShapes.of(engrave(written, width))
        upper, lower = shapes.extent
        # Pressed together, the last note stands beyond the end of the bar.
        across = 10 * WIDTH / max(shapes.width, shapes.right + _RIGHT)
        up = (10 * ROW_HEIGHT - 2 * _MARGIN) / (lower - upper)
        if across <= up:
            break
        width = round(width * across / up) + 1
    return _Row(shapes, min(across, up))


def _measures(fill: Fill, spans: Sequence[tuple[Part, ...]]) -> list[etree._Element]:
    written: list[etree._Element] = []
    curves: list[list[etree._Element]] = []
    for parts in spans:
        writers = [
            LayerWriter(
                replace(part, unmarked=part.tuplets),
                _PREFIX,
                (),
                ("",) * len(fill.strokes),
                fill.bar.groove_beats,
            )
            for part in parts
        ]
        layers = [writer.layer() for writer in writers]
        for note in (note for layer in layers for note in layer.iter(make.tag("note"))):
            note.set("stem.dir", "up")  # feet too: one beam
        measure = make("measure", {"right": "invis"}, make("staff", {"n": "1"}, *layers))
        written.append(measure)
        curves.append([curve for writer in writers for curve in writer.curves])
    _tie(written, curves)
    return written


def _tie(written: Sequence[etree._Element], curves: Sequence[Sequence[etree._Element]]) -> None:
    """Ties whose ends are both there; what goes on in a bar that is not drawn has none."""
    ids = {f"#{each.get(ID)}" for bar in written for each in bar.iter()}
    for bar, own in zip(written, curves, strict=True):
        bar.extend(curve for curve in own if curve.get("endid") in ids)
