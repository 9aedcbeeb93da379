"""The rows of a drawing set close under each other, by what is really drawn in each."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from copy import deepcopy
from math import ceil, floor
from typing import NamedTuple

from rhythms.notation.engraving.cleaning import Heading
from rhythms.notation.engraving.drawn import SVG, place_of
from rhythms.notation.engraving.flat_shapes import named, shapes_of
from rhythms.notation.engraving.path_data import PathPlace, points
from rhythms.notation.xml import Maker, etree, to_text

_make = Maker("http://www.w3.org/2000/svg")
#: In tenths of the engraver's units, of which 18 are a staff space: from what is drawn in a row to
#: its edge, and to the edge of the drawing; what a sign keeps from notes beside it.
_MARGIN, _EDGE, _AIR = 90, 30, 60
#: By how much a sign is smaller than over a bar on a page.
_SIGN = 0.65
#: Letters that hang below their line, and how far, in parts of their height.
_HANGING, _DESCENDER = set("pygq()"), 0.22


#: A line of a staff.
_LINE = re.compile(r"M(-?\d+) (-?\d+) L(-?\d+) \2")


class _Box(NamedTuple):
    left: float
    right: float
    top: float
    bottom: float


def stacked(drawing: str, sign: Heading | None) -> str:
    """The drawing with its rows moved, the sign over the first, and where they begin and end.

    ``data-rows`` has the edges from the top down.
    """
    root = etree.fromstring(drawing.encode())
    page, glyphs = root[-1], root.find(f"{SVG}defs")
    where = PathPlace(*(place_of(page) or (0, 0)))
    known = {} if glyphs is None else named(glyphs)
    rows = [(row, list(_boxes(row, known, where))) for row in page]
    start, _, length, _ = map(int, root.get("viewBox", "").split())
    left, right = _sides(start, start + length, [box for _, boxes in rows for box in boxes])
    _lengthen(page, (start, start + length), (left, right))
    first = min(box.top for box in rows[0][1])
    if sign:
        first = min(first, _set_sign(root, sign, left, rows[0][1]))
    edges, below = [round(first) - _EDGE], 0
    for row, boxes in rows:
        down = 0 if row is page[0] else round(below + _MARGIN - min(box.top for box in boxes))
        if down:
            row.set("transform", f"translate(0, {down})")
        below = round(max(box.bottom for box in boxes)) + down + _MARGIN
        edges.append(below)
    edges[-1] += _EDGE - _MARGIN
    root.set("data-rows", " ".join(map(str, edges)))
    root.set("viewBox", f"{left} {edges[0]} {right - left} {edges[-1] - edges[0]}")
    return to_text(root)


def _sides(start: int, end: int, boxes: Sequence[_Box]) -> tuple[int, int]:
    """Pressed together, the last note stands beyond where the staff ends, the first bracket before.

    What reaches just to an end is the staff.
    """
    before = [floor(box.left) - _EDGE for box in boxes if box.left < start]
    beyond = [ceil(box.right) + _EDGE for box in boxes if box.right != end]
    return min([start, *before]), max([end, *beyond])


def _lengthen(page: etree._Element, ends: tuple[int, int], to: tuple[int, int]) -> None:
    """The lines of the staff, which go as far as the bars do."""
    new = dict(zip(ends, to, strict=True))
    for line in page.iter(f"{SVG}path"):
        if found := _LINE.fullmatch(line.get("d", "")):
            left, y, right = map(int, found.groups())
            line.set("d", f"M{new.get(left, left)} {y} L{new.get(right, right)} {y}")


def _set_sign(root: etree._Element, sign: Heading, left: int, boxes: list[_Box]) -> float:
    """Over what it stands above, not over the highest of the row; how high it reaches."""
    under = min(box.top for box in boxes if box.left < left + _SIGN * sign.width + _AIR)
    top = round(under - _SIGN * sign.height)
    sign.drawn.set("transform", f"translate({left}, {top}) scale({_SIGN})")
    root.insert(len(root) - 1, deepcopy(sign.drawn))
    return top


def _boxes(
    row: etree._Element, glyphs: dict[str, etree._Element], where: PathPlace
) -> Iterator[_Box]:
    for shape in shapes_of(row, glyphs, where):
        reached = list(points(shape.path, shape.placed))
        ys = [y for _, y in reached]
        # Lines reach as far as they are wide; stems end where they say.
        thick = shape.line / 2 if min(ys) == max(ys) else 0
        xs = [x for x, _ in reached]
        yield _Box(min(xs), max(xs), min(ys) - thick, max(ys) + thick)
    for text in row.iter(f"{SVG}text"):
        size, letters = int(text.get("font-size", "0")), "".join(map(str, text.itertext()))
        x, y = where.of((int(text.get("x", "0")), int(text.get("y", "0"))))
        hangs = _DESCENDER * size if _HANGING.intersection(letters) else 0
        yield _Box(x - size / 2, x + size / 2, y - size, y + hangs)
