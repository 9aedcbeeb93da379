"""A fill as two written voices: hands and feet, each with the rests that fill it up."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby, pairwise, takewhile

from rhythms.engine import Fill, Meter, Note, Stroke
from rhythms.engine.bars.writing import Event, value_at, write_out
from rhythms.engine.errors import BarError
from rhythms.engine.fills.fill import stroke_of
from rhythms.notation.staff_placement import FEET_VOICE, HANDS_VOICE


@dataclass(frozen=True)
class Symbol:
    """One symbol of a voice; times in quarter lengths.

    A note has its ``stroke``, or what this voice plays of it, and the stroke's ``index`` in the
    fill. ``tied_from``: it continues the symbol before it; ``tied_to``: the next one continues it.
    ``under``: it is the feet of a stroke that hands play too. A symbol without a stroke is a rest,
    or nothing at all where ``hidden``.
    """

    onset: Fraction
    length: Fraction
    value: str
    stroke: Stroke | None = None
    index: int = -1
    tied_from: bool = False
    tied_to: bool = False
    under: bool = False
    hidden: bool = False

    @property
    def end(self) -> Fraction:
        """Where the symbol stops."""
        return self.onset + self.length

    @property
    def by_hand(self) -> bool:
        """Whether a hand plays it."""
        return self.stroke is not None and not self.stroke.by_foot

    @property
    def by_foot(self) -> bool:
        """Whether a foot plays it, alone or beside hands."""
        return self.stroke is not None and bool(self.stroke.foot_hits)

    @property
    def attack(self) -> bool:
        """Whether a stroke starts here."""
        return self.stroke is not None and not self.tied_from


@dataclass(frozen=True)
class Voice:
    """``number`` 1 for the hands, 2 for the feet; the symbols fill the bar."""

    number: int
    symbols: tuple[Symbol, ...]


def voices(fill: Fill) -> tuple[Voice, ...]:
    """The voices that have something to play, hands first; one voice of rests in a silent bar.

    Feet that only fill gaps in the hands' line have its values, and the hands rest there. Where
    they play under hands too, each is a line of its own: a note lasts up to the next of its line,
    within its beat. The feet's rests are hidden, since the hands' voice shows every moment already
    (common practice in drum-set parts).
    """
    symbols = tuple(_symbols(fill))
    if not any(symbol.by_foot for symbol in symbols):
        return (Voice(HANDS_VOICE, symbols),)
    if not any(symbol.by_hand for symbol in symbols):
        return (Voice(FEET_VOICE, symbols),)
    meter = fill.bar.meter
    if any(symbol.by_hand and symbol.by_foot for symbol in symbols):
        hands, feet = _hands(_over_feet(symbols, meter), meter), _own_line(symbols, meter)
    else:
        hands, feet = _hands(symbols, meter), _feet(symbols, meter)
    return Voice(HANDS_VOICE, tuple(hands)), Voice(FEET_VOICE, tuple(feet))


def _symbols(fill: Fill) -> Iterator[Symbol]:
    index = -1
    notes = fill.bar.notes
    for note, after in zip(notes, (*notes[1:], None), strict=True):
        if note.rest:
            yield from _rest(note, fill.bar.meter)
            continue
        index += not note.tie
        yield _note(note, fill.strokes[index], index, after is not None and after.tie)


def _rest(note: Note, meter: Meter) -> Iterator[Symbol]:
    """A rest spelled with the beat: it shows each beat it goes over (common practice)."""
    cuts = [note.onset, *_beats_shown(note.onset, note.end, meter), note.end]
    pieces = [(start, stop, value_at(meter, start, stop)) for start, stop in pairwise(cuts)]
    if len(pieces) == 1 or not all(value for _, _, value in pieces):
        yield Symbol(note.onset, note.length, note.value)
        return
    for start, stop, value in pieces:
        yield Symbol(start, stop - start, str(value))


def _beats_shown(start: Fraction, end: Fraction, meter: Meter) -> Iterator[Fraction]:
    """The beats at which a rest is cut: all but those inside a bar, or half a bar of 4/4."""
    while True:
        bar_end = meter.bar_end(start)
        half = meter.bar_length / 2
        in_bar = start - bar_end + meter.bar_length
        if in_bar == 0 and end >= bar_end:
            start = bar_end
        elif meter.count == 4 and in_bar in (0, half) and end >= start + half:
            start += half
        else:
            start = meter.beat_at(start).end
        if start >= end:
            return
        yield start


def _note(note: Note, stroke: Stroke, index: int, tied_to: bool) -> Symbol:
    return Symbol(note.onset, note.length, note.value, stroke, index, note.tie, tied_to)


def _over_feet(symbols: Sequence[Symbol], meter: Meter) -> Iterator[Symbol]:
    """The symbols, the hands' as long as feet alone go on after them in their beat."""
    taken = Fraction(0)
    for index, symbol in enumerate(symbols):
        if symbol.end <= taken:
            continue
        start = max(symbol.onset, taken)
        if start > symbol.onset:
            # A foot's note that goes over the beat: the hands rest from there on.
            yield replace(symbol, onset=start, length=symbol.end - start)
            continue
        taken = _goes_on_to(symbol, symbols[index + 1 :], meter)
        value = value_at(meter, symbol.onset, taken)
        if taken == symbol.end or value is None:
            taken = symbol.end
            yield symbol
        else:
            yield replace(symbol, length=taken - symbol.onset, value=value)


def _goes_on_to(symbol: Symbol, later: Sequence[Symbol], meter: Meter) -> Fraction:
    """Where the next symbol comes that is not of the feet alone, or the next beat."""
    beat_end = meter.beat_at(symbol.onset).end
    if not symbol.by_hand or symbol.tied_to or symbol.end >= beat_end:
        return symbol.end
    of_feet = takewhile(lambda one: one.by_foot and not one.by_hand, later)
    ends = [symbol.end, *(one.end for one in of_feet)]
    return min(beat_end, ends[-1])


def _hands(symbols: Iterable[Symbol], meter: Meter) -> Iterator[Symbol]:
    def kept(symbol: Symbol) -> bool:
        return symbol.by_hand or _whole_beats(symbol, meter)

    for keep, run in groupby(symbols, key=kept):
        group = tuple(run)
        yield from map(_of_hands, group) if keep else _rests(group, meter)


def _feet(symbols: Sequence[Symbol], meter: Meter) -> tuple[Symbol, ...]:
    """The feet's symbols as long as the bar's notes, and hidden rests between them."""
    written: list[Symbol] = []
    for by_foot, run in groupby(symbols, key=lambda symbol: symbol.by_foot):
        group = tuple(run)
        if by_foot:
            written += map(_of_feet, group)
        else:
            written += (replace(rest, hidden=True) for rest in _rests(group, meter))
    return tuple(written)


def _own_line(symbols: Sequence[Symbol], meter: Meter) -> tuple[Symbol, ...]:
    """The feet's symbols, each up to the next one, a rest of the bar or the next beat."""
    struck = {
        symbol.onset: _of_feet(symbol) for symbol in symbols if symbol.by_foot and symbol.attack
    }
    rests = {symbol.onset for symbol in symbols if symbol.stroke is None}
    onsets = sorted({*struck, *rests, *(beat.onset for beat in meter.beats)})
    events = tuple(Event(onset, rest=onset not in struck) for onset in onsets)
    try:
        written = tuple(write_out(meter, events))
    except BarError:
        return _feet(symbols, meter)
    return tuple(
        Symbol(note.onset, note.length, note.value, hidden=True)
        if note.rest or note.tie
        else replace(
            struck[note.onset], length=note.length, value=note.value, tied_from=False, tied_to=False
        )
        for note in written
    )


def _of_hands(symbol: Symbol) -> Symbol:
    if symbol.stroke is None or not symbol.by_foot:
        return symbol
    beside = tuple(hit for hit in symbol.stroke.beside if not hit.by_foot)
    return replace(symbol, stroke=symbol.stroke._replace(beside=beside))


def _of_feet(symbol: Symbol) -> Symbol:
    if symbol.stroke is None or not symbol.by_hand:
        return symbol
    return replace(symbol, stroke=stroke_of(symbol.stroke.foot_hits), under=True)


def _whole_beats(symbol: Symbol, meter: Meter) -> bool:
    """Whether it is a rest of the bar that fills its beats."""
    ends = symbol.end == meter.length or meter.is_on_beat(symbol.end)
    return symbol.stroke is None and ends and meter.is_on_beat(symbol.onset)


def _rests(gap: tuple[Symbol, ...], meter: Meter) -> Iterator[Symbol]:
    """The rests of one voice over what the other voice plays, joined within each beat."""
    if all(symbol.stroke is None for symbol in gap):
        yield from gap
        return
    try:
        yield from tuple(_written(gap[0].onset, gap[-1].end, meter))
    except BarError:
        # A finer mixture than rests can be joined in: keep the values as they stand.
        yield from (Symbol(s.onset, s.length, s.value) for s in gap)


def _written(start: Fraction, stop: Fraction, meter: Meter) -> Iterator[Symbol]:
    cuts = {Fraction(0), start, stop} | {beat.onset for beat in meter.beats}
    events = tuple(Event(cut, rest=True) for cut in sorted(cuts) if cut < meter.length)
    for written in write_out(meter, events):
        if start <= written.onset < stop:
            yield Symbol(written.onset, written.length, written.value)
