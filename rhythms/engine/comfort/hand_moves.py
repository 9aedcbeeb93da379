"""From drum to drum: the moves of the hands in a fill."""

from __future__ import annotations

from itertools import pairwise

from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.surfaces import Surface, base

Pair = tuple[Surface, Surface]


def hand_moves(fill: Fill) -> list[Pair]:
    """From which drum to which one the hands go, stroke by stroke; the first of two at once."""
    struck = [base(stroke.surface) for stroke in fill.strokes if not stroke.by_foot]
    return list(pairwise(struck))
