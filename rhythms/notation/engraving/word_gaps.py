"""How near the words under a staff come to each other: the engraver goes by a narrower font."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from rhythms.notation.engraving.drawn import SVG
from rhythms.notation.xml import etree

#: How wide letters are in the widest of the usual page fonts, in parts of their height.
_LETTER = 0.64
_WIDTHS = dict.fromkeys("()t", 0.4) | dict.fromkeys("il", 0.28) | {"m": 0.98, "&": 0.78}


class _Word(NamedTuple):
    """Where its middle is, how wide it is and how high its letters are, in the drawing's units."""

    middle: int
    width: float
    size: int


def smallest_gap(drawing: str) -> float:
    """The smallest gap between two words of a row, in parts of a letter's height.

    Below 0 they overlap; infinite where no row has two words. ``drawing`` is a page's SVG.
    """
    rows: defaultdict[str, list[_Word]] = defaultdict(list)
    for text in etree.fromstring(drawing.encode()).iter(f"{SVG}text"):
        if text.get("text-anchor") == "middle":
            rows[text.get("y", "")].append(_word(text))
    return min((gap for row in rows.values() for gap in _gaps(sorted(row))), default=float("inf"))


def _gaps(row: list[_Word]) -> Iterator[float]:
    for one, other in pairwise(row):
        between = other.middle - one.middle - (one.width + other.width) / 2
        yield between / max(one.size, other.size)


def _word(text: etree._Element) -> _Word:
    size = int(text.get("font-size", "0"))
    letters = "".join(map(str, text.itertext()))
    wide = sum(_WIDTHS.get(letter, _LETTER) for letter in letters)
    return _Word(int(text.get("x", "0")), wide * size, size)
