"""What the engraver drew, read: the name of a glyph, and where something is put."""

from __future__ import annotations

import re

from rhythms.notation.xml import etree

SVG = "{http://www.w3.org/2000/svg}"
_SHIFT = re.compile(r"translate\((-?\d+), (-?\d+)\)")


def glyph_name(use: etree._Element) -> str:
    """The code point of the glyph that is used, as SMuFL has it."""
    return use.get("href", "").removeprefix("#").partition("-")[0]


def place_of(element: etree._Element) -> tuple[int, int] | None:
    """Where it is put, x and y; None where nothing says so."""
    shift = _SHIFT.match(element.get("transform", ""))
    return (int(shift[1]), int(shift[2])) if shift else None


def put(element: etree._Element, x: int, y: int) -> None:
    """Put it elsewhere, as large as it is."""
    moved = _SHIFT.sub(f"translate({x}, {y})", element.get("transform", ""), count=1)
    element.set("transform", moved)
