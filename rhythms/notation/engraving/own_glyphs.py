"""Glyphs that the engraver or its fonts lack, drawn over stand-ins.

A triangle is half as high again as a staff space is wide, like SMuFL's noteheadTriangleUpBlack
(U+E0BE); the stem is carried on to its foot, which stands lower than an oval's shoulder. A slash
through a head is longer than that of noteheadSlashedBlack1 (U+E0CF), which hardly shows. The sign
of a half-open hi-hat is a ring struck through, as pictHalfOpen2 (U+E7F7, “Weinberg”).
"""

from __future__ import annotations

import re
from copy import deepcopy
from functools import partial

from rhythms.notation.engraving.drawn import glyph_name
from rhythms.notation.engraving.mei_layer import SLASHED, TRIANGLE
from rhythms.notation.xml import Maker, etree

#: In glyph units: 250 are a staff space, y runs down from the middle of the head.
_FOOT = 125
_OUTLINE = f"M0 {_FOOT}L314 {_FOOT}L157 -140Z"
_HOLE = "M64 89L250 89L157 -68Z"
_SLASH = "M-16 194L18 216L298 -194L264 -216Z"
#: The heads by value: noteheadBlack, noteheadHalf, noteheadWhole.
_TRIANGLES = {"E0A4": _OUTLINE, "E0A3": _OUTLINE + _HOLE, "E0A2": _OUTLINE + _HOLE}
#: brassMuteHalfClosed stands for the half-open sign: a ring, and the stroke through it.
_STAND_IN = "E5E6"
_RING = (
    "M0 -165C0 -271 59 -330 165 -330S330 -271 330 -165S271 0 165 0S0 -59 0 -165Z"
    "M28 -165C28 -75 75 -28 165 -28S302 -75 302 -165S255 -302 165 -302S28 -255 28 -165Z"
)
_THROUGH = "M2 20L-18 0L328 -350L348 -330Z"
_PLACE = re.compile(r"translate\(\d+, (\d+)\) scale\(([\d.]+)")
_STEM = re.compile(r"M(\d+) (\d+) ")


def draw_own_glyphs(page: etree._Element, glyphs: etree._Element, make: Maker) -> None:
    """Swap them in, before glyphs are given their own names."""
    for group in page.iter(make.tag("g")):
        kinds = group.get("class", "").split()
        for use in group.iter(make.tag("use")) if {TRIANGLE, SLASHED} & set(kinds) else ():
            if glyph_name(use) in _TRIANGLES:
                _draw(group, use, glyphs, make)
    for glyph in glyphs:
        if glyph.get("id", "").partition("-")[0] == _STAND_IN:
            shape = make("path", {"d": _RING + _THROUGH, "fill-rule": "nonzero"})
            glyph[:] = [shape]


def _draw(group: etree._Element, use: etree._Element, glyphs: etree._Element, make: Maker) -> None:
    kind = TRIANGLE if TRIANGLE in group.get("class", "").split() else SLASHED
    name = glyph_name(use)
    drawn = f"{kind}{name}"
    if all(glyph.get("id") != drawn for glyph in glyphs):
        glyphs.append(make("g", {"id": drawn}, *_shapes(kind, name, glyphs, make)))
    use.set("href", f"#{drawn}")
    if kind == TRIANGLE:
        _lengthen_stem(group, use, make)


def _shapes(kind: str, name: str, glyphs: etree._Element, make: Maker) -> list[etree._Element]:
    if kind == TRIANGLE:
        return [make("path", {"d": _TRIANGLES[name], "fill-rule": "evenodd"})]
    head = next(glyph for glyph in glyphs if glyph.get("id", "").partition("-")[0] == name)
    return [*map(deepcopy, head), make("path", {"d": _SLASH})]


def _lengthen_stem(group: etree._Element, use: etree._Element, make: Maker) -> None:
    place = _PLACE.match(use.get("transform", ""))
    if place is None:
        return
    foot = round(int(place[1]) + _FOOT * float(place[2]))
    chord = group.getparent()
    for of in (group, chord) if chord is not None else (group,):
        for stem in of.iterfind(f"{make.tag('g')}[@class='stem']/{make.tag('path')}"):
            stem.set("d", _STEM.sub(partial(_down_to, foot), stem.get("d", "")))


def _down_to(foot: int, start: re.Match[str]) -> str:
    """From there, or from a lower head of the chord."""
    return f"M{start[1]} {max(foot, int(start[2]))} "
