"""A fill laid out for writing: its voices with their tuplets and beams."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from rhythms.engine import Fill, Meter
from rhythms.notation.layout.grouping import SymbolRange, Tuplet, beams, tuplets
from rhythms.notation.layout.symbols import Symbol, Voice
from rhythms.notation.layout.voices import voices

#: A triplet is told by the number above it; 16ths of a sextuplet look like any others.
_PLAIN_FROM_AFAR = 3


@dataclass(frozen=True)
class Part:
    """One voice, ``number`` 1 for the hands and 2 for the feet.

    ``unmarked``: those of the tuplets that need no number: triplets, where the hands' voice shows
    one over the same time. ``alone``: no other voice shares the staff.
    """

    number: int
    alone: bool
    symbols: tuple[Symbol, ...]
    tuplets: tuple[Tuplet, ...]
    unmarked: tuple[Tuplet, ...]
    beams: tuple[SymbolRange, ...]


def measures(fill: Fill) -> tuple[tuple[Part, ...], ...]:
    """For each bar of a fill its voices, hands first; onsets stay from the fill's bar line."""
    meter, written = fill.bar.meter, voices(fill)
    return tuple(
        _parts([_inside(voice, bar, meter) for voice in written], meter)
        for bar in range(meter.bars)
    )


def _inside(voice: Voice, bar: int, meter: Meter) -> Voice:
    """What of a voice is in one bar: no symbol goes over a bar line."""
    symbols = (symbol for symbol in voice.symbols if meter.bar_at(symbol.onset) == bar)
    return Voice(voice.number, tuple(symbols))


def _parts(written: Sequence[Voice], meter: Meter) -> tuple[Part, ...]:
    shown: list[Tuplet] = []
    made: list[Part] = []
    for voice in written:
        groups = tuplets(voice.symbols, meter)
        repeated = [group for group in groups if any(s.covers(group) for s in shown)]
        marked = [group for group in groups if group not in repeated]
        unmarked = tuple(group for group in repeated if group.number <= _PLAIN_FROM_AFAR)
        symbols = tuple(_with_rests_in(marked, voice.symbols))
        spans = beams(symbols, meter, groups)
        made.append(Part(voice.number, len(written) == 1, symbols, groups, unmarked, spans))
        shown += marked
    return tuple(made)


def _with_rests_in(marked: Sequence[Tuplet], symbols: Sequence[Symbol]) -> Iterator[Symbol]:
    """A tuplet that shows its number shows its rests too, or its notes do not add up."""
    for index, symbol in enumerate(symbols):
        inside = any(group.span.start <= index < group.span.stop for group in marked)
        yield replace(symbol, hidden=symbol.hidden and not inside)
