"""A fill laid out for writing: its voices with their tuplets and beams."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from rhythms.engine import Fill, Meter
from rhythms.notation.layout.grouping import SymbolRange, Tuplet, beams, inner_stops, tuplets
from rhythms.notation.layout.symbols import Symbol, Voice
from rhythms.notation.layout.voices import one_voice, voices

#: A triplet is told by the number above it; 16ths of a sextuplet look like any others.
_PLAIN_FROM_AFAR = 3
_ROOMY = 2


@dataclass(frozen=True)
class Part:
    """One voice, ``number`` 1 for the hands and 2 for the feet.

    ``unmarked``: those of the tuplets that need no number: triplets, where the hands' voice shows
    one over the same time, and any of them beside two other voices. ``inner_stops``: the symbols
    after which only one beam goes on. ``alone``: no other voice shares the staff.
    """

    number: int
    alone: bool
    symbols: tuple[Symbol, ...]
    tuplets: tuple[Tuplet, ...]
    unmarked: tuple[Tuplet, ...]
    beams: tuple[SymbolRange, ...]
    inner_stops: frozenset[int]


def measures(
    fill: Fill, opens: Fraction | None = None, *, as_one: bool = False
) -> tuple[tuple[Part, ...], ...]:
    """For each bar of a fill its voices, hands first; onsets stay from the fill's first bar line.

    Of a pick-up's bar there is what comes from ``opens`` on, by default where it is ``drawn_from``.
    ``as_one``: hands and feet in one voice, without what the feet keep playing.
    """
    meter, written = fill.bar.meter, (one_voice(fill),) if as_one else voices(fill)
    start = drawn_from(fill) if opens is None else opens
    return tuple(
        parts_of([_inside(voice, bar, meter, start) for voice in written], meter)
        for bar in range(meter.bars)
    )


def drawn_from(fill: Fill) -> Fraction:
    """Where the first bar begins on paper, in quarters: later than 0 where there is a pick-up.

    That is with its first stroke, or the last place before it where all voices and tuplets begin.
    """
    meter = fill.bar.meter
    if not meter.pickup:
        return Fraction(0)
    written = voices(fill)
    shared = set.intersection(*({one.onset for one in voice.symbols} for voice in written))
    within = [group for voice in written for group in tuplets(voice.symbols, meter)]
    latest = fill.bar.starts_at if fill.bar.starts_at < meter.bar_length else meter.opens_at
    return max(
        onset
        for onset in shared
        if onset <= latest and not any(group.onset < onset < group.end for group in within)
    )


def _inside(voice: Voice, bar: int, meter: Meter, opens: Fraction) -> Voice:
    """What of a voice is in one bar: no symbol goes over a bar line."""
    symbols = (
        symbol
        for symbol in voice.symbols
        if meter.bar_at(symbol.onset) == bar and symbol.onset >= opens
    )
    return Voice(voice.number, tuple(symbols))


def parts_of(written: Sequence[Voice], meter: Meter) -> tuple[Part, ...]:
    """Voices over the same time with their tuplets and beams."""
    # Three voices leave no room for what the hands' voice says already.
    crowded = len(written) > _ROOMY
    shown: list[Tuplet] = []
    made: list[Part] = []
    for voice in written:
        groups = tuplets(voice.symbols, meter)
        repeated = [group for group in groups if any(s.covers(group) for s in shown)]
        marked = [group for group in groups if group not in repeated]
        unmarked = tuple(one for one in repeated if crowded or one.number <= _PLAIN_FROM_AFAR)
        symbols = tuple(_with_rests_in(marked, voice.symbols))
        spans = beams(symbols, meter, groups)
        stops = inner_stops(symbols, meter, spans, groups)
        alone = len(written) == 1
        made.append(Part(voice.number, alone, symbols, groups, unmarked, spans, stops))
        shown += marked
    return tuple(made)


def _with_rests_in(marked: Sequence[Tuplet], symbols: Sequence[Symbol]) -> Iterator[Symbol]:
    """A tuplet that shows its number shows its rests too, or its notes do not add up."""
    for index, symbol in enumerate(symbols):
        inside = any(group.span.start <= index < group.span.stop for group in marked)
        yield replace(symbol, hidden=symbol.hidden and not inside)
