"""A fill as the prior sees it: which surfaces the hands strike, and when."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from rhythms.engine.fills.fill import Fill, Hit, Stroke
from rhythms.engine.kits.surfaces import Surface, base

#: Places in a beat: on it, its half, its quarters, its thirds, anything finer.
PLACES = 5
#: Times since the stroke before, in quarters: shorter than a 16th, a 16th, a triplet, an eighth,
#: longer; and the first stroke, which has none before it.
TIMES = 6
FIRST = 5
_HALF, _QUARTERS = Fraction(1, 2), (Fraction(1, 4), Fraction(3, 4))
_THIRDS = (Fraction(1, 3), Fraction(2, 3))


@dataclass(frozen=True)
class Line:
    """Strokes of the hands in order: ``onsets`` in quarters from a bar line, and surfaces."""

    onsets: tuple[Fraction, ...]
    surfaces: tuple[Surface, ...]

    @classmethod
    def of(cls, fill: Fill) -> Line:
        """What the hands do in a fill: drum after drum, the louder one where both strike."""
        struck = [
            (note.onset, base(leading_hand(stroke).surface))
            for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True)
            if not stroke.by_foot
        ]
        return cls(tuple(onset for onset, _ in struck), tuple(surface for _, surface in struck))


def leading_hand(stroke: Stroke) -> Hit:
    """Of what the hands strike the louder; the first of two alike."""
    return max(stroke.hand_hits, key=lambda hit: _LOUDNESS[hit.dynamic])


_LOUDNESS = {"ghost": 0, "normal": 1, "accent": 2}


def place_in_beat(onset: Fraction) -> int:
    """Where in its quarter a stroke falls, 0 to PLACES - 1."""
    inside = onset % 1
    if not inside:
        return 0
    if inside == _HALF:
        return 1
    if inside in _QUARTERS:
        return 2
    return 3 if inside in _THIRDS else 4


def times_since(onsets: Sequence[Fraction]) -> list[int]:
    """For each stroke, how long ago the one before it was, 0 to TIMES - 1."""
    return [FIRST, *(_time(after - before) for before, after in pairwise(onsets))][: len(onsets)]


def _time(gap: Fraction) -> int:
    if gap <= _QUARTERS[0]:
        return int(gap == _QUARTERS[0])
    if gap <= _HALF:
        return 3 if gap == _HALF else 2
    return 4
