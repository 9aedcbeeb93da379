"""Marks on the notes of an engraving: what became of each when it was played.

Every mark is a shape, so that it is told without colour. In a row under the notes: a tick for
right, a ring for missed, a cross for another surface. Round the head: a ring for missed, a box for
another surface.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from rhythms.notation.xml import Maker, etree, to_text

_make = Maker("http://www.w3.org/2000/svg")
_tag = _make.tag
_PLACE = re.compile(r"translate\((-?[\d.]+),? ?(-?[\d.]+)\)")
#: In the drawing's units, of which 180 are a staff space.
_HALF_A_HEAD, _ROUND, _SIGN, _GAP = 108, 190, 80, 190
_LINE = {"fill": "none", "stroke": "currentColor", "stroke-width": "34"}
_SHAPES = ("right", "missed", "wrong")


def marked(drawing: str, prefix: str, outcomes: Sequence[str]) -> str:
    """The drawing with a mark on each stroke: ``right``, ``missed`` or ``wrong``, in order.

    Each stroke's group gets the class ``played-…``. Strokes without an outcome stay plain.
    """
    parser = etree.XMLParser(resolve_entities=False, no_network=True)
    root = etree.fromstring(drawing.encode(), parser)
    groups = {group.get("id"): group for group in root.iter(_tag("g")) if group.get("id")}
    lowest = _lowest(root)
    for index, outcome in enumerate(outcomes):
        group = groups.get(f"{prefix}-s{index}")
        if group is None or outcome not in _SHAPES:
            continue
        group.set("class", f"{group.get('class', '')} played-{outcome}".strip())
        head = _head(group)
        if head is not None:
            group.extend(_marks(outcome, *head, lowest + _GAP))
    _make_room(root)
    return to_text(root)


def _head(group: etree._Element) -> tuple[float, float] | None:
    """The middle of the stroke's notehead: its first glyph, as the engraver draws it."""
    for use in group.iter(_tag("use")):
        place = _PLACE.search(use.get("transform", ""))
        if place:
            return float(place[1]) + _HALF_A_HEAD, float(place[2])
    return None


def _lowest(root: etree._Element) -> float:
    box = [float(number) for number in root.get("viewBox", "0 0 0 0").split()]
    return box[1] + box[3]


def _make_room(root: etree._Element) -> None:
    """A row below for the ticks, a little above for the rings of the highest notes."""
    x, y, width, height = (float(number) for number in root.get("viewBox", "0 0 0 0").split())
    root.set("viewBox", f"{x:g} {y - _ROUND:g} {width:g} {height + _ROUND + 2 * _GAP:g}")


def _marks(outcome: str, x: float, y: float, row: float) -> list[etree._Element]:
    """The sign in the row below, and what stands round the head."""
    shape = {"class": f"mark mark-{outcome}", **_LINE}
    if outcome == "right":
        down, up = f"L{x - _SIGN / 4:g} {row + _SIGN:g}", f"L{x + _SIGN:g} {row - _SIGN:g}"
        tick = f"M{x - _SIGN:g} {row:g} {down} {up}"
        return [_make("path", {**shape, "d": tick})]
    if outcome == "missed":
        return [_circle(shape, x, row, _SIGN), _circle(shape, x, y, _ROUND)]
    cross = (
        f"M{x - _SIGN:g} {row - _SIGN:g} L{x + _SIGN:g} {row + _SIGN:g} "
        f"M{x + _SIGN:g} {row - _SIGN:g} L{x - _SIGN:g} {row + _SIGN:g}"
    )
    side = f"{2 * _ROUND}"
    corner = {"x": f"{x - _ROUND:g}", "y": f"{y - _ROUND:g}", "width": side, "height": side}
    return [_make("path", {**shape, "d": cross}), _make("rect", shape | corner)]


def _circle(shape: dict[str, str], x: float, y: float, radius: float) -> etree._Element:
    return _make("circle", {**shape, "cx": f"{x:g}", "cy": f"{y:g}", "r": f"{radius:g}"})
