"""Beams level by level, as MusicXML spells them: begin, continue, end and hooks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from rhythms.engine import Meter
from rhythms.notation.layout.grouping import SymbolRange, beams_of
from rhythms.notation.layout.parts import Part
from rhythms.notation.layout.symbols import Symbol

#: For each symbol, its beams from the outermost in.
Levels = list[list[str]]


def beam_levels(part: Part, meter: Meter) -> Levels:
    """One word for each beam of each symbol; none for rests and for notes with flags."""
    levels: Levels = [[] for _ in part.symbols]
    for span in part.beams:
        for level in range(1, max(map(beams_of, part.symbols[span.start : span.stop])) + 1):
            for run in _runs(part, span, level):
                _mark(levels, run, _hook(part.symbols, span, run[0], meter))
    return levels


def _runs(part: Part, span: SymbolRange, level: int) -> Iterator[list[int]]:
    """The notes joined by one beam of a level; it goes on over rests that are short enough."""
    run: list[int] = []
    for index in range(*span):
        symbol = part.symbols[index]
        if beams_of(symbol) >= level and symbol.stroke is not None:
            run.append(index)
        stops = level > 1 and index in part.inner_stops
        if run and (stops or beams_of(symbol) < level or index == span.stop - 1):
            yield run
            run = []


def _mark(levels: Levels, run: list[int], hook: str) -> None:
    if len(run) == 1:
        levels[run[0]].append(hook)
        return
    for index in run:
        levels[index].append(
            "begin" if index == run[0] else "end" if index == run[-1] else "continue"
        )


def _hook(symbols: Sequence[Symbol], span: SymbolRange, index: int, meter: Meter) -> str:
    """Which way a beam of a single note points: on from a stronger place, back from a weaker."""
    if index in (span.start, span.stop - 1):
        return "forward hook" if index == span.start else "backward hook"
    symbol = symbols[index]
    begins_weaker = _weakness(symbol.onset, meter) > _weakness(symbol.end, meter)
    return "backward hook" if begins_weaker else "forward hook"


def _weakness(position: Fraction, meter: Meter) -> int:
    """1 on a count, 2 halfway between two counts, 3 on a third, and so on."""
    return (position * meter.unit / 4).denominator
