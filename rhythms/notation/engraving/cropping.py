"""How high a drawing really is: the engraver leaves room for rows that are not there."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from rhythms.notation.engraving.drawn import SVG, place_of
from rhythms.notation.xml import etree

_PAIR = re.compile(r"(-?\d+)[ ,](-?\d+)")
#: All in tenths of the engraver's units, of which 18 are a staff space.
#: How far a glyph reaches from its origin: a tuplet's digit up, a head down.
_GLYPH_UP, _GLYPH_DOWN = 240, 100
#: How far letters hang below their line.
_DESCENDER = 60
#: The air round everything drawn.
_AIR = 60
#: Round a bare staff: heads on the second ledger line above, and in the space below.
_ABOVE, _BELOW = 500, 320


def to_content(box: str, page: etree._Element) -> str:
    """The view box with its height cut to what is drawn."""
    return _cut(box, page, page.iter(), _AIR, _AIR)


def to_staff(box: str, page: etree._Element) -> str:
    """The view box with the same height for any single note: room for two ledger lines."""
    lines = page.iterfind(f".//{SVG}g[@class='staff']/{SVG}path")
    return _cut(box, page, lines, _ABOVE, _BELOW)


def _cut(
    box: str, page: etree._Element, elements: Iterable[etree._Element], above: int, below: int
) -> str:
    left, _, width, _ = box.split()
    _, down = place_of(page) or (0, 0)
    reach = [y + down for element in elements for y in extent(element)]
    top = min(reach) - above
    return f"{left} {top} {width} {max(reach) + below - top}"


def extent(element: etree._Element) -> Iterator[int]:
    """The lowest and highest y of one drawn element, and maybe some between."""
    name = etree.QName(element).localname
    if name == "use":
        _, y = place_of(element) or (0, 0)
        yield from (y - _GLYPH_UP, y + _GLYPH_DOWN)
    elif name == "text":
        yield int(element.get("y", "0")) + _DESCENDER
    else:
        points = element.get("d", "") + element.get("points", "")
        yield from (int(pair[2]) for pair in _PAIR.finditer(points))
