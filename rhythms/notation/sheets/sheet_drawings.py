"""The drawings of a sheet: the same engraving as on a page, in letters that paper has."""

from __future__ import annotations

import re
from typing import NamedTuple

from rhythms.engine import Fill, Surface
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.kits.surfaces import called
from rhythms.notation.engraving.legend import legend_svg
from rhythms.notation.engraving.svg import svg
from rhythms.notation.fill_text import description

#: Comes with the typesetter, so that a sheet looks alike on every machine.
_LETTERS = "Libertinus Serif"
_FONT = re.compile(r'font-family="[^"]*"')
_WIDTH = re.compile(r'viewBox="\S+ \S+ (\S+) ')
#: The engraver draws in tenths of its units.
_TENTHS = 10


class Drawing(NamedTuple):
    """An SVG with its words; ``width`` in the engraver's units, of which 18 are a staff space."""

    svg: str
    words: str
    width: float


def fill_drawing(fill: Fill, *, counts: bool, feel: Feel = STRAIGHT) -> Drawing:
    """A fill, with its count line where ``counts``. Raises EngravingError."""
    return _drawing(svg(fill, counts=counts, feel=feel), description(fill, feel=feel))


def legend_drawing(surface: Surface) -> Drawing:
    """The short staff of the key with one note of a surface. Raises EngravingError."""
    return _drawing(legend_svg(surface), called(surface))


def _drawing(drawn: str, words: str) -> Drawing:
    width = _WIDTH.search(drawn)
    if width is None:
        raise ValueError("The drawing has no view box.")
    return Drawing(_FONT.sub(f'font-family="{_LETTERS}"', drawn), words, float(width[1]) / _TENTHS)
