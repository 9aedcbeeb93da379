"""An engraving as plain shapes: what is filled and what is a line, without groups and glyphs."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterator
from typing import NamedTuple, Self

from rhythms.notation.engraving.cleaning import opened
from rhythms.notation.engraving.drawn import SVG, glyph_name, place_of
from rhythms.notation.engraving.path_data import PathPlace, points, written
from rhythms.notation.xml import etree

_SCALE = re.compile(r"scale\((-?[\d.]+)(?:, ?(-?[\d.]+))?\)")
#: A circle of radius 1 in four curves, from its left.
_ROUND = "m-1 0c0 -.552 .448 -1 1 -1s1 .448 1 1s-.448 1 -1 1s-1 -.448 -1 -1z"


class Shape(NamedTuple):
    """A path, where it is placed, and how wide its line is; 0: it is filled."""

    path: str
    placed: PathPlace
    line: float = 0


class FlatShapes(NamedTuple):
    """All shapes of an engraving, in tenths of the engraver's units.

    ``right``: how far what is filled reaches, heads and beams; ``extent``: from the highest point
    to the lowest.
    """

    shapes: tuple[Shape, ...]
    width: float
    right: float
    staff_top: float
    extent: tuple[float, float]

    @classmethod
    def of(cls, drawn: str) -> Self:
        """Raises EngravingError where it is not a drawing as the engraver makes them."""
        drawing = opened(drawn)
        glyphs = {glyph.get("id", "").partition("-")[0]: glyph for glyph in drawing.glyphs}
        shapes = tuple(_shapes(drawing.page, glyphs, PathPlace()))
        ys = [y for one in shapes for _, y in points(one.path, one.placed)]
        heads = [one for one in shapes if not one.line]
        right = max((x for one in heads for x, _ in points(one.path, one.placed)), default=0.0)
        staff = drawing.page.find(f".//{SVG}g[@class='staff']/{SVG}path")
        _, down = place_of(drawing.page) or (0, 0)
        top = 0.0 if staff is None else next(y for _, y in points(staff.get("d", ""), PathPlace()))
        width = float(drawing.box.split()[2])
        return cls(shapes, width, right, top + down, (min(ys), max(ys)))

    def filled(self, scale: float, left: float, down: float) -> str:
        """The path of all that is filled, scaled, then moved."""
        where = PathPlace(left, down, scale, scale)
        return "".join(
            written(one.path, where.then(one.placed)) for one in self.shapes if not one.line
        )

    def lines(self, scale: float, left: float, down: float) -> dict[float, str]:
        """The path of the lines of each width."""
        where, paths = PathPlace(left, down, scale, scale), defaultdict[float, str](str)
        for one in self.shapes:
            if one.line:
                paths[round(one.line * scale)] += written(one.path, where.then(one.placed))
        return paths


def _shapes(
    element: etree._Element, glyphs: dict[str, etree._Element], where: PathPlace
) -> Iterator[Shape]:
    x, y = place_of(element) or (0, 0)
    scale = _SCALE.search(element.get("transform", ""))
    across = float(scale[1]) if scale else 1.0
    here = where.then(PathPlace(x, y, across, float(scale[2] or across) if scale else 1.0))
    name = etree.QName(element).localname
    if name == "use":
        for shape in glyphs[glyph_name(element)]:
            yield from _shapes(shape, glyphs, here)
    elif name == "g":
        for child in element:
            yield from _shapes(child, glyphs, here)
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
