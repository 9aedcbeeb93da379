"""A count line of which only what sounds is counted: a beat left out is silent."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from rhythms.engine.bars.count_reading import LineReading
from rhythms.engine.bars.count_tokens import Token, TypedBarLine, tokens_of
from rhythms.engine.bars.meter import Meter
from rhythms.engine.errors import CountLineError


class StruckCount(NamedTuple):
    """One count that sounds, ``onset`` in quarter lengths, and the column it is typed in."""

    onset: Fraction
    accent: bool
    column: int


def parse_struck(text: str, meter: Meter) -> tuple[StruckCount, ...]:
    """What sounds in a line of which only that is counted: a beat left out is silent.

    ``2 4`` is ``(1) 2 (3) 4``; an ``&`` of a silent beat is ``(3) &``. Raises CountLineError,
    AmbiguousCountLineError.
    """
    tokens, lines = tokens_of(text, meter)
    end = len(text.rstrip())
    try:
        events = LineReading(tokens, lines, meter, end).only()
    except CountLineError:
        tokens, lines = _with_silent_beats(tokens, lines, meter, end)
        events = LineReading(tokens, lines, meter, end).only()
    counted = [token for token in tokens if not token.hold]
    return tuple(
        StruckCount(event.onset, event.accent, token.column)
        for event, token in zip(events, counted, strict=True)
        if not event.rest
    )


def _with_silent_beats(
    tokens: tuple[Token, ...], lines: tuple[TypedBarLine, ...], meter: Meter, end: int
) -> tuple[tuple[Token, ...], tuple[TypedBarLine, ...]]:
    """The counts with a rest on each beat that is left out, and the bar lines between them."""
    starts = [0, *(line.before for line in lines), len(tokens)]
    ends = [*(line.column for line in lines), end]
    filled: list[Token] = []
    moved: list[TypedBarLine] = []
    for bar, ((start, stop), column) in enumerate(zip(pairwise(starts), ends, strict=True)):
        if bar:
            moved.append(TypedBarLine(len(filled), lines[bar - 1].column))
        filled += _filled_up(tokens[start:stop], meter.one_bar, column)
    return tuple(filled), tuple(moved)


def _filled_up(tokens: tuple[Token, ...], meter: Meter, end: int) -> Iterator[Token]:
    """The counts of one bar with those beats that no number of theirs begins."""
    numbers = [beat.number for beat in meter.beats]
    begun = 0
    for token in tokens:
        number = int(token.label) if token.label and token.label.isdigit() else 0
        while begun < len(numbers) and numbers[begun] < number:
            yield _silent(numbers[begun], token.column)
            begun += 1
        if begun < len(numbers) and numbers[begun] == number:
            begun += 1
        if not begun and not token.hold:
            first = str(numbers[0])
            raise CountLineError(
                token.column, token.text, (first, f"({first})"), "Say which beat it is in."
            )
        yield token
    for number in numbers[begun:]:
        yield _silent(number, end)


def _silent(number: int, column: int) -> Token:
    return Token(f"({number})", column, str(number), rest=True)
