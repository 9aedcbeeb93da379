"""An engraving as plain shapes: what is filled and what is a line, without groups and glyphs."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterator
from typing import NamedTuple, Self

from rhythms.notation.engraving.cleaning import opened
from rhythms.notation.engraving.drawn import SVG, place_of
from rhythms.notation.engraving.path_data import PathPlace, points, written
from rhythms.notation.engraving_error import EngravingError
from rhythms.notation.xml import etree

_SHIFT = re.compile(r"translate\((-?[\d.]+), (-?[\d.]+)\)")
_SCALE = re.compile(r"scale\((-?[\d.]+)(?:, ?(-?[\d.]+))?\)")
#: A circle of radius 1 in four curves, from its left.
_ROUND = "m-1 0c0 -.552 .448 -1 1 -1s1 .448 1 1s-.448 1 -1 1s-1 -.448 -1 -1z"


class Shape(NamedTuple):
    """A path, where it is placed, and how wide its line is; 0: it is filled."""

    path: str
    placed: PathPlace
    line: float = 0


class Staff(NamedTuple):
    """How high its lines are, from the top, and how wide each is drawn."""

    heights: tuple[float, ...]
    line: float


class FlatShapes(NamedTuple):
    """All shapes of an engraving of one row, in tenths of the engraver's units.

    ``right``: how far they reach; ``extent``: from the highest point to the lowest. The lines of
    the staff are none of the shapes: they are as long as one wants.
    """

    shapes: tuple[Shape, ...]
    staff: Staff
    width: float
    right: float
    extent: tuple[float, float]

    @classmethod
    def of(cls, drawn: str) -> Self:
        """Raises EngravingError where it is not a drawing as the engraver makes them."""
        drawing = opened(drawn)
        staff = _taken_staff(drawing.page)
        shapes = tuple(shapes_of(drawing.page, named(drawing.glyphs), PathPlace()))
        reached = [point for one in shapes for point in points(one.path, one.placed)]
        ys = [*staff.heights, *(y for _, y in reached)]
        right = max((x for x, _ in reached), default=0.0)
        width = float(drawing.box.split()[2])
        return cls(shapes, staff, width, right, (min(ys), max(ys)))

    def filled(self, where: PathPlace) -> str:
        """The path of all that is filled, placed so."""
        return "".join(
            written(one.path, where.then(one.placed)) for one in self.shapes if not one.line
        )

    def lines(self, where: PathPlace, end: float) -> dict[float, str]:
        """The path of the lines of each width, placed so; those of the staff go to ``end``."""
        staff = [
            Shape(f"M0 {height}H{end}", PathPlace(), self.staff.line)
            for height in self.staff.heights
        ]
        paths = defaultdict[float, str](str)
        for one in (*staff, *self.shapes):
            if one.line:
                paths[round(one.line * where.up)] += written(one.path, where.then(one.placed))
        return paths


def _taken_staff(page: etree._Element) -> Staff:
    """The staff, its lines taken out of the page."""
    lines: list[etree._Element] = []
    for staff in page.findall(f".//{SVG}g[@class='staff']"):
        for line in staff.findall(f"{SVG}path"):
            staff.remove(line)
            lines.append(line)
    if not lines:
        raise EngravingError("The engraver drew no staff.")
    _, down = place_of(page) or (0, 0)
    heights = {y + down for line in lines for _, y in points(line.get("d", ""), PathPlace())}
    return Staff(tuple(sorted(heights)), float(lines[0].get("stroke-width", "0")))


def named(glyphs: etree._Element) -> dict[str, etree._Element]:
    """The glyphs of a drawing, as its shapes refer to them."""
    return {f"#{glyph.get('id')}": glyph for glyph in glyphs}


def shapes_of(
    element: etree._Element, glyphs: dict[str, etree._Element], where: PathPlace
) -> Iterator[Shape]:
    """All that is drawn of an element but letters."""
    shift = _SHIFT.match(element.get("transform", ""))
    x, y = (float(shift[1]), float(shift[2])) if shift else (0.0, 0.0)
    scale = _SCALE.search(element.get("transform", ""))
    across = float(scale[1]) if scale else 1.0
    here = where.then(PathPlace(x, y, across, float(scale[2] or across) if scale else 1.0))
    name = etree.QName(element).localname
    if name == "use":
        for shape in glyphs[element.get("href", "")]:
            yield from shapes_of(shape, glyphs, here)
    elif name == "g":
        for child in element:
            yield from shapes_of(child, glyphs, here)
    elif name in _PATHS:
        yield Shape(_PATHS[name](element), here, float(element.get("stroke-width", "0")))
    elif name == "ellipse":
        yield _dot(element, here)


def _rectangle(rect: etree._Element) -> str:
    x, y, width, height = (rect.get(name, "0") for name in ("x", "y", "width", "height"))
    return f"M{x} {y}h{width}v{height}h-{width}z"


#: What is drawn as a path, by the element's name.
_PATHS: dict[str, Callable[[etree._Element], str]] = {
    "path": lambda path: path.get("d", ""),
    "polyline": lambda line: f"M{line.get('points')}",
    "polygon": lambda shape: f"M{shape.get('points')}z",
    "rect": _rectangle,
}


def _dot(ellipse: etree._Element, where: PathPlace) -> Shape:
    x, y, across, up = (float(ellipse.get(name, "0")) for name in ("cx", "cy", "rx", "ry"))
    return Shape(f"M0 0{_ROUND}", where.then(PathPlace(x, y, across, up)))
