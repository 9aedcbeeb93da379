"""A fill in rows: each short enough to be read from a metre on the stage, or small in a list."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from rhythms.engine import Fill, Meter
from rhythms.engine.bars.values import tuplet_of
from rhythms.engine.bars.writing import value_at
from rhythms.engine.playback.timeline import GRACES
from rhythms.notation.layout.grouping import tuplets
from rhythms.notation.layout.parts import Part, drawn_from, parts_of
from rhythms.notation.layout.symbols import Symbol, Voice
from rhythms.notation.layout.voices import one_voice, voices


class RowSpan(NamedTuple):
    """From where to where, in quarter lengths from the fill's first bar line."""

    start: Fraction
    end: Fraction


#: What stands in a row: a bar or a part of one; a pick-up stands with the bar that it leads to.
StageRow = tuple[RowSpan, ...]


def stage_rows(fill: Fill, most: int) -> tuple[StageRow, ...]:
    """The rows of a fill, each bar cut until no row has more than ``most`` onsets.

    Grace notes count. Cut is where a felt beat begins, nearest the middle, where every voice can be
    cut; what cannot be cut any more stays as dense as it is.
    """
    meter, written = fill.bar.meter, voices(fill)
    cuts = [beat.onset for beat in meter.beats if _may_cut(written, beat.onset, meter)]
    onsets = _onsets(fill, written)
    rows: list[StageRow] = [
        (span,) for bar in _bars(fill) for span in _cut(bar, cuts, onsets, most)
    ]
    first = tuple(span for row in rows[:2] for span in row)
    if meter.pickup and sum(_number(span, onsets) for span in first) <= most:
        rows[:2] = [first]
    return tuple(rows)


def bar_rows(fill: Fill) -> list[StageRow]:
    """A row for each bar; a pick-up stands with the bar that it leads to."""
    rows: list[StageRow] = [(span,) for span in _bars(fill)]
    if fill.bar.meter.pickup:
        rows[:2] = [(*rows[0], *rows[1])]
    return rows


def in_two(fill: Fill, row: StageRow) -> tuple[StageRow, ...]:
    """A row of a bar cut so that both parts have as many symbols as may be, all in one voice.

    Cut is where a beat begins and nothing goes on; where there is no such place, it stays whole.
    """
    meter, voice, bar = fill.bar.meter, one_voice(fill), row[-1]
    begins = [one.onset for one in voice.symbols if row[0].start <= one.onset < bar.end]
    held = {one.onset for one in voice.symbols if one.tied_from}
    cuts = [
        beat.onset
        for beat in meter.beats
        if bar.start < beat.onset < bar.end
        and beat.onset in set(begins) - held
        and _may_cut([voice], beat.onset, meter)
    ]
    if not cuts:
        return (row,)
    at = min(cuts, key=lambda cut: abs(2 * sum(one < cut for one in begins) - len(begins)))
    return (*row[:-1], RowSpan(bar.start, at)), (RowSpan(at, bar.end),)


def row_parts(
    fill: Fill, rows: Sequence[StageRow], *, as_one: bool = False
) -> tuple[tuple[tuple[Part, ...], ...], ...]:
    """For each row its spans, for each span its voices, hands first; a held note is tied over.

    ``as_one``: hands and feet in one voice.
    """
    meter, written = fill.bar.meter, (one_voice(fill),) if as_one else voices(fill)
    spans = [span for row in rows for span in row]
    inner = {span.start for span in spans}
    cut = [Voice(one.number, tuple(_pieces(one.symbols, inner, meter))) for one in written]
    return tuple(
        tuple(parts_of([_within(voice, span) for voice in cut], meter) for span in row)
        for row in rows
    )


def onsets_in(fill: Fill, row: StageRow) -> int:
    """How many notes begin in a row, grace notes among them."""
    onsets = _onsets(fill, voices(fill))
    return sum(_number(span, onsets) for span in row)


def _bars(fill: Fill) -> list[RowSpan]:
    meter = fill.bar.meter
    bars = [RowSpan(n * meter.bar_length, (n + 1) * meter.bar_length) for n in range(meter.bars)]
    return [RowSpan(drawn_from(fill), bars[0].end), *bars[1:]]


def _onsets(fill: Fill, written: Sequence[Voice]) -> dict[Fraction, int]:
    """How many notes begin at each onset one after the other: one, and its grace notes."""
    ornaments = {
        note.onset: stroke.ornament or ""
        for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True)
    }
    struck = {one.onset for voice in written for one in voice.symbols if one.attack}
    return {onset: 1 + GRACES.get(ornaments.get(onset, ""), 0) for onset in struck}


def _number(span: RowSpan, onsets: dict[Fraction, int]) -> int:
    return sum(number for onset, number in onsets.items() if span.start <= onset < span.end)


def _cut(
    span: RowSpan, cuts: Sequence[Fraction], onsets: dict[Fraction, int], most: int
) -> Iterator[RowSpan]:
    inside = [cut for cut in cuts if span.start < cut < span.end]
    if _number(span, onsets) <= most or not inside:
        yield span
        return
    middle = (span.start + span.end) / 2
    at = min(inside, key=lambda cut: (abs(cut - middle), cut))
    yield from _cut(RowSpan(span.start, at), cuts, onsets, most)
    yield from _cut(RowSpan(at, span.end), cuts, onsets, most)


def _may_cut(written: Sequence[Voice], at: Fraction, meter: Meter) -> bool:
    """Whether all that goes on over a place can be written in two pieces there."""
    for voice in written:
        if any(group.onset < at < group.end for group in tuplets(voice.symbols, meter)):
            return False
        if any(not _values(one, at, meter) for one in voice.symbols if one.onset < at < one.end):
            return False
    return True


def _values(symbol: Symbol, at: Fraction, meter: Meter) -> tuple[str, str] | None:
    """The values of the two pieces; None where one of them has none."""
    if tuplet_of(symbol.value) is not None:
        return None
    before, after = value_at(meter, symbol.onset, at), value_at(meter, at, symbol.end)
    return (before, after) if before and after else None


def _pieces(symbols: Sequence[Symbol], cuts: set[Fraction], meter: Meter) -> Iterator[Symbol]:
    for symbol in symbols:
        inner = sorted(cut for cut in cuts if symbol.onset < cut < symbol.end)
        places = [symbol.onset, *inner, symbol.end]
        if not inner:
            yield symbol
            continue
        sounds = symbol.stroke is not None
        for start, end in pairwise(places):
            yield replace(
                symbol,
                onset=start,
                length=end - start,
                value=value_at(meter, start, end) or symbol.value,
                tied_from=symbol.tied_from if start == symbol.onset else sounds,
                tied_to=symbol.tied_to if end == symbol.end else sounds,
            )


def _within(voice: Voice, span: RowSpan) -> Voice:
    inside = (one for one in voice.symbols if span.start <= one.onset < span.end)
    return Voice(voice.number, tuple(inside))
