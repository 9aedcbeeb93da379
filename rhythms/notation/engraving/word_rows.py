"""The rows of words kept clear of what is above them: the engraver lets them touch low beams."""

from __future__ import annotations

from rhythms.notation.engraving.cropping import extent
from rhythms.notation.engraving.drawn import SVG
from rhythms.notation.xml import etree

#: In tenths of the engraver's units, of which 18 are a staff space: how high letters stand on their
#: line, and the air above them.
_LETTERS, _AIR = 220, 90


def clear_words(page: etree._Element) -> None:
    """Move all rows of a measure down together where the first one is too near the notes."""
    for measure in page.iterfind(f".//{SVG}g[@class='measure']"):
        over = set(measure.iterfind(f".//{SVG}g[@class='dir']/{SVG}text"))
        words = [text for text in measure.iter(f"{SVG}text") if text not in over]
        if not words:
            continue
        lines = [int(text.get("y", "0")) for text in words]
        above = (y for element in measure.iter() if element not in words for y in extent(element))
        missing = max(above) + _AIR + _LETTERS - min(lines)
        for text, line in zip(words, lines, strict=True) if missing > 0 else ():
            text.set("y", str(line + missing))
