"""A rudiment in a bar: its rhythm, stuck and ornamented, on the snare."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.writing import Event
from rhythms.engine.fills.fill import Fill, Stroke
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.rudiments.letters import Letter
from rhythms.engine.rudiments.rudiment_table import Rudiment


@lru_cache(maxsize=128)
def rudiment_fill(rudiment: Rudiment, lead: str = "R") -> Fill:
    """As many statements as fill its bar, led by ``lead`` ("R" or "L")."""
    placed = list(_placed(rudiment, lead))
    events = [
        Event(at, letter is None, letter is not None and letter.accent) for at, letter in placed
    ]
    strokes = (_stroke(letter) for _, letter in placed if letter is not None)
    return Fill(Bar.from_events(rudiment.over, events), tuple(strokes))


def _placed(rudiment: Rudiment, lead: str) -> Iterator[tuple[Fraction, Letter | None]]:
    """Where each letter starts, in quarters; None for a rest."""
    at, taken = Fraction(0), 0
    while at < rudiment.over.length:
        for length, is_rest in rudiment.lengths:
            letter = None
            if not is_rest:
                letter = rudiment.cycle[taken % len(rudiment.cycle)]
                taken += 1
            yield at, letter.mirrored if letter and lead == "L" else letter
            at += length


def _stroke(letter: Letter) -> Stroke:
    dynamic = "accent" if letter.accent else "normal"
    return Stroke(Surface.SNARE, letter.hand, dynamic, letter.ornament)
