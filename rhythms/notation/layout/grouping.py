"""Which symbols of a voice share a beam, and which share a tuplet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from rhythms.engine import Meter
from rhythms.engine.bars.values import PLAIN, TUPLETS, tuplet_of, written
from rhythms.notation.layout.symbols import Symbol

#: How many beams or flags a value has.
BEAMS = {"eighth": 1, "16th": 2, "32nd": 3}
_THIRD, _EIGHTH = Fraction(1, 3), PLAIN["eighth"]
_TRIPLET = TUPLETS["triplet"]
#: What a tuplet may last: plain values, in quarter lengths.
_TUPLET_LENGTHS = tuple(PLAIN.values())


class SymbolRange(NamedTuple):
    """The symbols ``start`` up to, not including, ``stop``."""

    start: int
    stop: int

    def holds(self, other: SymbolRange) -> bool:
        """Whether ``other`` lies wholly inside."""
        return self.start <= other.start and other.stop <= self.stop


class Tuplet(NamedTuple):
    """``number`` in the time of ``normal``, over a span that lasts from ``onset`` to ``end``."""

    span: SymbolRange
    onset: Fraction
    end: Fraction
    number: int
    normal: int

    def covers(self, other: Tuplet) -> bool:
        """Whether ``other`` lies within the same time, in this voice or another."""
        return self.onset <= other.onset and other.end <= self.end


def beams_of(symbol: Symbol) -> int:
    """How many beams the symbol's value takes; 0 for a quarter or longer."""
    return BEAMS.get(written(symbol.value)[0], 0)


# --- tuplets -------------------------------------------------------------------------


def tuplets(symbols: Sequence[Symbol], meter: Meter) -> tuple[Tuplet, ...]:
    """The tuplets of a voice: one for a beat's symbols of one kind of tuplet, rests included.

    A beat of a quarter is kept whole; anything else is closed as soon as it fills a plain value.
    """
    return tuple(
        _tuplet(symbols, span)
        for run in _tuplet_runs(symbols, meter)
        for span in _closed(symbols, run, meter)
    )


def _tuplet(symbols: Sequence[Symbol], span: SymbolRange) -> Tuplet:
    inside = symbols[span.start : span.stop]
    return Tuplet(span, inside[0].onset, inside[-1].end, *_ratio(inside))


def _tuplet_runs(symbols: Sequence[Symbol], meter: Meter) -> Iterator[SymbolRange]:
    """Longest runs of symbols of one kind of tuplet that do not go on over a beat."""
    start = 0
    for index, symbol in enumerate(symbols):
        if index > start and meter.is_on_beat(symbol.onset):
            yield SymbolRange(start, index)
            start = index
        if tuplet_of(symbol.value) is None:
            if index > start:
                yield SymbolRange(start, index)
            start = index + 1
    if start < len(symbols):
        yield SymbolRange(start, len(symbols))


def _closed(symbols: Sequence[Symbol], run: SymbolRange, meter: Meter) -> Iterator[SymbolRange]:
    whole = symbols[run.stop - 1].end - symbols[run.start].onset == 1
    if whole and not meter.in_eighths:
        yield run
        return
    start = run.start
    for stop in range(run.start + 1, run.stop + 1):
        length = symbols[stop - 1].end - symbols[start].onset
        if length in _TUPLET_LENGTHS or stop == run.stop:
            yield SymbolRange(start, stop)
            start = stop


def _ratio(symbols: Sequence[Symbol]) -> tuple[int, int]:
    """6:4 where a quarter is counted in six, that is where something starts off its thirds."""
    onset = symbols[0].onset
    kind = tuplet_of(symbols[0].value) or _TRIPLET
    in_six = kind == _TRIPLET and any((symbol.onset - onset) % _THIRD for symbol in symbols)
    return (6, 4) if in_six and symbols[-1].end - onset == 1 else kind


# --- beams ---------------------------------------------------------------------------


def beams(
    symbols: Sequence[Symbol], meter: Meter, groups: Sequence[Tuplet]
) -> tuple[SymbolRange, ...]:
    """The beams of a voice: the notes of one felt beat, over short rests between them."""
    return tuple(
        span for run in _beamable_runs(symbols, meter) for span in _nested(symbols, run, groups)
    )


def inner_stops(
    symbols: Sequence[Symbol], meter: Meter, spans: Sequence[SymbolRange], groups: Sequence[Tuplet]
) -> frozenset[int]:
    """The symbols after which only one beam goes on.

    So a tuplet in a longer beam is seen, and of 32nds each eighth (common practice).
    """
    edges = {edge for group in groups for edge in group.span}
    return frozenset(
        index
        for span in spans
        for index in range(span.start, span.stop - 1)
        if index + 1 in edges or _parts_32nds(symbols, index, span, meter)
    )


def _parts_32nds(symbols: Sequence[Symbol], index: int, span: SymbolRange, meter: Meter) -> bool:
    finest = any(beams_of(symbol) == BEAMS["32nd"] for symbol in symbols[span.start : span.stop])
    end = symbols[index].end
    return finest and (end - meter.beat_at(symbols[index].onset).onset) % _EIGHTH == 0


def _nested(
    symbols: Sequence[Symbol], run: SymbolRange, groups: Sequence[Tuplet]
) -> Iterator[SymbolRange]:
    """The run from its first note to its last, cut until every tuplet is inside or outside."""
    notes = [index for index in range(*run) if symbols[index].stroke is not None]
    if len(notes) < 2:
        return
    trimmed = SymbolRange(notes[0], notes[-1] + 1)
    parts = tuple(_cut_at_tuplets(trimmed, groups))
    if len(parts) == 1:
        yield trimmed
        return
    for part in parts:
        yield from _nested(symbols, part, groups)


def _beamable_runs(symbols: Sequence[Symbol], meter: Meter) -> Iterator[SymbolRange]:
    start = 0
    for index, symbol in enumerate(symbols):
        if index > start and meter.is_on_beat(symbol.onset):
            yield SymbolRange(start, index)
            start = index
        if not _beamable(symbol, meter):
            yield SymbolRange(start, index)
            start = index + 1
    yield SymbolRange(start, len(symbols))


def _beamable(symbol: Symbol, meter: Meter) -> bool:
    inside_beat = symbol.end <= meter.beat_at(symbol.onset).end
    return inside_beat and not symbol.hidden and beams_of(symbol) > 0


def _cut_at_tuplets(run: SymbolRange, groups: Sequence[Tuplet]) -> Iterator[SymbolRange]:
    """Beam and tuplet nest: where a run only overlaps a tuplet, cut it there."""
    cuts = {run.start, run.stop}
    for group in groups:
        if not run.holds(group.span) and not group.span.holds(run):
            cuts |= {cut for cut in group.span if run.start < cut < run.stop}
    ordered = sorted(cuts)
    for start, stop in pairwise(ordered):
        yield SymbolRange(start, stop)
