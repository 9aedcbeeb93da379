"""The triangle notehead, which the engraver's fonts lack, drawn over its stand-in.

Half as high again as a staff space is wide, like SMuFL's noteheadTriangleUpBlack (U+E0BE);
the stem is carried on to the triangle's foot, which stands lower than an oval's shoulder.
"""

from __future__ import annotations

import re

from rhythms.notation.engraving.drawn import glyph_name
from rhythms.notation.engraving.mei_layer import TRIANGLE
from rhythms.notation.xml import Maker, etree

#: In glyph units: 250 are a staff space, y runs down from the middle of the head.
_FOOT = 125
_OUTLINE = f"M0 {_FOOT}L314 {_FOOT}L157 -140Z"
_HOLE = "M64 89L250 89L157 -68Z"
#: The stand-ins: noteheadBlack, noteheadHalf, noteheadWhole.
_SHAPES = {"E0A4": _OUTLINE, "E0A3": _OUTLINE + _HOLE, "E0A2": _OUTLINE + _HOLE}
_PLACE = re.compile(r"translate\(\d+, (\d+)\) scale\(([\d.]+)")
_STEM = re.compile(r"M(\d+) \d+ ")


def draw_triangles(page: etree._Element, glyphs: etree._Element, make: Maker) -> None:
    """Swap the heads of the groups that ask for it, before glyphs are given their own names."""
    for group in page.iter(make.tag("g")):
        if TRIANGLE in group.get("class", "").split():
            for use in group.iter(make.tag("use")):
                _swap(group, use, glyphs, make)


def _swap(group: etree._Element, use: etree._Element, glyphs: etree._Element, make: Maker) -> None:
    name = glyph_name(use)
    place = _PLACE.match(use.get("transform", ""))
    if name not in _SHAPES or place is None:
        return
    drawn = f"{TRIANGLE}{name}"
    if all(glyph.get("id") != drawn for glyph in glyphs):
        shape = make("path", {"d": _SHAPES[name], "fill-rule": "evenodd"})
        glyphs.append(make("g", {"id": drawn}, shape))
    use.set("href", f"#{drawn}")
    foot = round(int(place[1]) + _FOOT * float(place[2]))
    for stem in group.iterfind(f"{make.tag('g')}[@class='stem']/{make.tag('path')}"):
        stem.set("d", _STEM.sub(rf"M\g<1> {foot} ", stem.get("d", "")))
