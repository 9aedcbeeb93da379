"""Letters of a rudiment: the hand, its ornament and its accent, as a sheet of rudiments has them.

======  ==========================================================================
``R``   a stroke of the right hand, ``L`` of the left
``R*``  accented
``lR``  after one grace note of the other hand: a flam; ``llR`` after two: a drag
``RR``  two equal strokes in the time of one: a diddle
``Rz``  a buzz: the stick is let bounce
======  ==========================================================================
"""

from __future__ import annotations

import re
from typing import NamedTuple

from rhythms.engine.fills.fill import other_hand

_LETTER = re.compile(r"(l{0,2})(RR?|R)(z?)(\*?)|(r{0,2})(LL?|L)(z?)(\*?)")
_SWAP = str.maketrans("RLrl", "LRlr")


class Letter(NamedTuple):
    """One stroke of a sticking: ``hand`` R or L, one of ORNAMENTS or None."""

    hand: str
    ornament: str | None = None
    accent: bool = False

    @property
    def mirrored(self) -> Letter:
        """The same of the other hand."""
        return self._replace(hand=other_hand(self.hand))


def read_letters(written: str) -> tuple[Letter, ...]:
    """``"lR* L R R"``: a flam, accented, and three strokes. Raises ValueError."""
    return tuple(_letter(word) for word in written.split())


def swapped(written: str) -> str:
    """The same led by the other hand: ``lR* L`` -> ``rL* R``."""
    return written.translate(_SWAP)


def _letter(word: str) -> Letter:
    match = _LETTER.fullmatch(word)
    if match is None:
        raise ValueError(f"“{word}” is not a letter of a rudiment")
    graces, hands, buzz, accent = (part for part in match.groups() if part is not None)
    marks = {
        "flam": len(graces) == 1,
        "drag": len(graces) == 2,
        "diddle": len(hands) == 2,
        "buzz": bool(buzz),
    }
    ornaments = [name for name, is_so in marks.items() if is_so]
    if len(ornaments) > 1:
        raise ValueError(f"“{word}” has {' and '.join(ornaments)}: a stroke has one ornament")
    return Letter(hands[0], ornaments[0] if ornaments else None, bool(accent))
