"""Marks on the notes of an engraving: what became of each when it was played.

Every mark is a shape, so that it is told without colour. In a row under the notes: a tick for
right, a ring for missed, a cross for another surface, a bar for what is to be played again. Round
the head: a ring for missed, a box for another surface.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from rhythms.engine import Surface
from rhythms.engine.kits.surfaces import FEET
from rhythms.notation.engraving.cropping import extent
from rhythms.notation.engraving.mei_layer import UNDER, head_id, stroke_id
from rhythms.notation.xml import Maker, etree, to_text

_make = Maker("http://www.w3.org/2000/svg")
_tag = _make.tag
_PLACE = re.compile(r"translate\((-?[\d.]+),? ?(-?[\d.]+)\)")
#: In the drawing's units, of which 180 are a staff space.
_HALF_A_HEAD, _ROUND, _SIGN, _GAP = 108, 190, 80, 190
_LINE = {"fill": "none", "stroke": "currentColor", "stroke-width": "34"}
#: The worst last: a missed stroke counts for more than one on another surface.
_SHAPES = ("around", "again", "right", "wrong", "missed")


#: What became of a stroke; where several limbs strike, of each surface.
Outcome = str | Mapping[Surface, str]


def marked(drawing: str, prefix: str, outcomes: Sequence[Outcome]) -> str:
    """The drawing with a mark on each stroke: ``right``, ``missed`` or ``wrong``, in order; of a
    part to play again ``again``, and ``around`` without a sign.

    Of several limbs the worst stands in the row below, and each head has its own. Each group of a
    stroke gets the class ``played-…``. Strokes without an outcome stay plain.
    """
    parser = etree.XMLParser(resolve_entities=False, no_network=True)
    root = etree.fromstring(drawing.encode(), parser)
    groups = {str(group.get("id")): group for group in root.iter(_tag("g")) if group.get("id")}
    rows = _rows(root)
    for index, outcome in enumerate(outcomes):
        stroke = stroke_id(prefix, index)
        each = {None: outcome} if isinstance(outcome, str) else outcome
        worst = [shape for shape in _SHAPES if shape in each.values()]
        if stroke not in groups or not worst:
            continue
        _mark(groups[stroke], worst[-1], _row_of(groups[stroke], rows))
        for surface, became in each.items():
            _mark_head(_group_of(surface, stroke, groups), became)
    _make_room(root)
    return to_text(root)


def _mark(group: etree._Element, outcome: str, row: float) -> None:
    group.set("class", f"{group.get('class', '')} played-{outcome}".strip())
    if head := _head(group):
        group.extend(_signs(outcome, head[0], row))


def _mark_head(group: etree._Element, outcome: str) -> None:
    if "played-" not in group.get("class", ""):
        group.set("class", f"{group.get('class', '')} played-{outcome}".strip())
    if head := _head(group):
        group.extend(_round(outcome, *head))


def _group_of(
    surface: Surface | None, stroke: str, groups: Mapping[str, etree._Element]
) -> etree._Element:
    """Where the head of a surface is: its own of a chord, of the feet, or all of the stroke."""
    feet = f"{stroke}{UNDER}"
    if surface is None:
        return groups[stroke]
    names = [head_id(stroke, surface), head_id(feet, surface), *[feet] * (surface in FEET)]
    return next((groups[name] for name in names if name in groups), groups[stroke])


def _head(group: etree._Element) -> tuple[float, float] | None:
    """The middle of the stroke's notehead: its first glyph, as the engraver draws it."""
    for use in group.iter(_tag("use")):
        place = _PLACE.search(use.get("transform", ""))
        if place:
            return float(place[1]) + _HALF_A_HEAD, float(place[2])
    return None


def _rows(root: etree._Element) -> dict[etree._Element, float]:
    """Where the row of signs is of each line of bars; that of the last one is under the drawing."""
    *before, last = root[-1]
    box = [float(number) for number in root.get("viewBox", "0 0 0 0").split()]
    lowest = {line: max(y for drawn in line.iter() for y in extent(drawn)) for line in before}
    return {line: y + _GAP for line, y in (lowest | {last: box[1] + box[3]}).items()}


def _row_of(group: etree._Element, rows: Mapping[etree._Element, float]) -> float:
    return next(rows[each] for each in group.iterancestors() if each in rows)


def _make_room(root: etree._Element) -> None:
    """A row below for the ticks, a little above for the rings of the highest notes."""
    x, y, width, height = (float(number) for number in root.get("viewBox", "0 0 0 0").split())
    root.set("viewBox", f"{x:g} {y - _ROUND:g} {width:g} {height + _ROUND + 2 * _GAP:g}")


def _signs(outcome: str, x: float, row: float) -> list[etree._Element]:
    """The sign in the row below."""
    shape = _shape(outcome)
    if outcome == "around":
        return []
    if outcome == "again":
        bar = f"M{x - _ROUND:g} {row:g} L{x + _ROUND:g} {row:g}"
        return [_make("path", {**shape, "stroke-width": "70", "d": bar})]
    if outcome == "right":
        down, up = f"L{x - _SIGN / 4:g} {row + _SIGN:g}", f"L{x + _SIGN:g} {row - _SIGN:g}"
        tick = f"M{x - _SIGN:g} {row:g} {down} {up}"
        return [_make("path", {**shape, "d": tick})]
    if outcome == "missed":
        return [_circle(shape, x, row, _SIGN)]
    cross = (
        f"M{x - _SIGN:g} {row - _SIGN:g} L{x + _SIGN:g} {row + _SIGN:g} "
        f"M{x + _SIGN:g} {row - _SIGN:g} L{x - _SIGN:g} {row + _SIGN:g}"
    )
    return [_make("path", {**shape, "d": cross})]


def _round(outcome: str, x: float, y: float) -> list[etree._Element]:
    """What stands round a head."""
    if outcome == "missed":
        return [_circle(_shape(outcome), x, y, _ROUND)]
    if outcome != "wrong":
        return []
    side = f"{2 * _ROUND}"
    corner = {"x": f"{x - _ROUND:g}", "y": f"{y - _ROUND:g}", "width": side, "height": side}
    return [_make("rect", _shape(outcome) | corner)]


def _shape(outcome: str) -> dict[str, str]:
    return {"class": f"mark mark-{outcome}", **_LINE}


def _circle(shape: dict[str, str], x: float, y: float, radius: float) -> etree._Element:
    return _make("circle", {**shape, "cx": f"{x:g}", "cy": f"{y:g}", "r": f"{radius:g}"})
