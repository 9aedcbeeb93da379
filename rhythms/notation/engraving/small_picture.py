"""A fill as small as a line of a list: heads, stems and beams on five lines, to tell fills apart.

No clef, meter, letters, signs or ornaments: at this size they are specks. Drawn without any id, as
one path of what is filled and one for each width of line, so that a page may hold forty of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from rhythms.engine import Fill
from rhythms.notation.engraving.engraver import engrave
from rhythms.notation.engraving.flat_shapes import FlatShapes
from rhythms.notation.engraving.mei import document
from rhythms.notation.engraving.mei_layer import ID, LayerWriter, make
from rhythms.notation.layout.parts import Part, measures
from rhythms.notation.xml import Maker, etree, to_text

_make = Maker("http://www.w3.org/2000/svg")
#: Changes whenever the same fill would be drawn differently.
SMALL_VERSION = "small-1"

#: CSS pixels of a row, where its staff is 25 high.
WIDTH, ROW_HEIGHT = 168, 60
#: Of longer phrases, the last bars that are played.
MOST_ROWS = 2
#: In tenths of a pixel: a staff space, and where the staff begins unless that leaves no room.
_SPACE, _STAFF_TOP, _MARGIN = 62.5, 285, 12
#: The engraver's units in a staff space, and in tenths of them as it draws.
_UNITS, _DRAWN = 18, 180
#: What a note needs, in the engraver's units; more notes are drawn smaller.
_A_NOTE = 27
_PREFIX = "s"
#: By how much a row is wider that runs over its end, and how often it is tried.
_WIDER, _TRIES = 1.08, 6
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
    return PictureSize(WIDTH, ROW_HEIGHT * len(_rows(fill)))


def small_svg(fill: Fill) -> str:
    """The small picture. Raises EngravingError."""
    plain = _plain(fill)
    parts = measures(plain, as_one=True)
    rows = [_row(plain, [parts[bar] for bar in bars]) for bars in _rows(fill)]
    drawn = [one for number, row in enumerate(rows) for one in row.paths(10 * ROW_HEIGHT * number)]
    return _svg(picture_size(fill), *drawn)


def empty_svg(size: PictureSize) -> str:
    """The room of a picture that is not there."""
    return _svg(size, _make("g"))


def _svg(size: PictureSize, *drawn: etree._Element) -> str:
    box = f"0 0 {10 * size.width} {10 * size.height}"
    look = {"viewBox": box, "class": "small-engraving", "fill": "currentColor"}
    return to_text(_make("svg", look, *drawn))


def _rows(fill: Fill) -> list[list[int]]:
    """The bars of each row: a pick-up stands with the bar that it leads to."""
    meter = fill.bar.meter
    played = {meter.bar_at(note.onset) for note in fill.bar.sounded} or {0}
    rows = [[bar] for bar in range(meter.bars)]
    if meter.pickup:
        rows[:2] = [[0, 1]]
    return [row for row in rows if played.intersection(row)][-MOST_ROWS:]


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
        staff_top = _STAFF_TOP + 2 * (_SPACE - scale * _DRAWN)
        highest = _MARGIN - (upper - shapes.staff_top) * scale
        lowest = 10 * ROW_HEIGHT - _MARGIN - (lower - shapes.staff_top) * scale
        down = top + min(max(staff_top, highest), lowest) - shapes.staff_top * scale
        for width, lines in shapes.lines(scale, 0, down).items():
            look = {"stroke": "currentColor", "stroke-width": f"{max(_THINNEST, width):g}"}
            yield _make("path", {"fill": "none", "d": lines} | look)
        yield _make("path", {"d": shapes.filled(scale, 0, down)})


def _row(fill: Fill, bars: Sequence[tuple[Part, ...]]) -> _Row:
    """Engraved at the size that fills the width, or smaller until it fits."""
    # Without a break to go by the engraver would make its own.
    written = to_text(document(None, make("sb"), *_measures(fill, bars), clef=False))
    symbols = sum(len(part.symbols) for bar in bars for part in bar)
    width = max(round(10 * WIDTH / _SPACE * _UNITS), _A_NOTE * symbols)
    for _ in range(_TRIES):
        shapes = FlatShapes.of(engrave(written, width))
        upper, lower = shapes.extent
        scale = 10 * WIDTH / shapes.width
        if shapes.right > shapes.width - _RIGHT:
            width = round(width * _WIDER)
        elif (lower - upper) * scale > 10 * ROW_HEIGHT - 2 * _MARGIN:
            width = round(width * (lower - upper) * scale / (10 * ROW_HEIGHT - 2 * _MARGIN)) + 1
        else:
            break
    return _Row(shapes, scale)


def _measures(fill: Fill, bars: Sequence[tuple[Part, ...]]) -> list[etree._Element]:
    written: list[etree._Element] = []
    curves: list[list[etree._Element]] = []
    for parts in bars:
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
