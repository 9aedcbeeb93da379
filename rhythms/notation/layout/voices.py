"""A fill as two written voices: hands and feet, each with the rests that fill it up."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import groupby, pairwise, takewhile

from rhythms.engine import Fill, Meter, Note, Stroke
from rhythms.engine.bars.writing import Event, value_at, write_out
from rhythms.engine.errors import BarError
from rhythms.engine.fills.ostinato import FootHit
from rhythms.notation.layout.feet_line import feet_line, of_feet
from rhythms.notation.layout.symbols import Symbol, Voice
from rhythms.notation.staff_placement import ALONG_VOICE, FEET_VOICE, HANDS_VOICE


def voices(fill: Fill) -> tuple[Voice, ...]:
    """The voices that have something to play, hands first; one voice of rests in a silent bar.

    Feet that only fill gaps in the hands' line have its values, and the hands rest there. Where
    they play under hands too, or keep going, each is a line of its own: a note lasts up to the next
    of its line, within its beat. The feet's rests are hidden where the hands' voice shows the
    moments already (common practice in drum-set parts).
    """
    symbols, going = tuple(_symbols(fill)), fill.going_on
    hands = any(symbol.by_hand for symbol in symbols)
    if not going and not any(symbol.by_foot for symbol in symbols):
        return (Voice(HANDS_VOICE, symbols),)
    if not going and not hands:
        return (Voice(FEET_VOICE, symbols),)
    meter = fill.bar.meter
    if not going and not any(symbol.by_hand and symbol.by_foot for symbol in symbols):
        feet = Voice(FEET_VOICE, _feet(symbols, meter))
        return Voice(HANDS_VOICE, tuple(_hands(symbols, meter))), feet
    below = _below(symbols, going, meter)
    if not hands:
        return tuple(Voice(voice.number, tuple(map(_shown, voice.symbols))) for voice in below)
    return Voice(HANDS_VOICE, tuple(_hands(_over_feet(symbols, meter), meter))), *below


def one_voice(fill: Fill) -> Voice:
    """All strokes in one line, whatever limbs play them."""
    return Voice(HANDS_VOICE, tuple(_symbols(fill)))


def _below(symbols: Sequence[Symbol], going: Sequence[FootHit], meter: Meter) -> tuple[Voice, ...]:
    """The feet's line; in beats where feet that keep going do not fit others, one of theirs."""
    with_others = [hit for hit in going if _fits(hit, symbols, going, meter)]
    try:
        feet = feet_line(symbols, with_others, meter)
    except BarError:
        feet, with_others = _feet(symbols, meter), []
    apart = [hit for hit in going if hit not in with_others]
    along = [Voice(ALONG_VOICE, feet_line((), apart, meter))] if apart else []
    return (Voice(FEET_VOICE, feet), *along)


def _fits(hit: FootHit, symbols: Sequence[Symbol], going: Sequence[FootHit], meter: Meter) -> bool:
    """Whether what keeps going in a beat can be written in one voice with the other feet."""
    beat = meter.beat_at(hit.onset)
    of_beat = [other for other in going if meter.beat_at(other.onset) == beat]
    try:
        feet_line(symbols, of_beat, meter)
    except BarError:
        return False
    return True


def _shown(symbol: Symbol) -> Symbol:
    return replace(symbol, hidden=False)


def _symbols(fill: Fill) -> Iterator[Symbol]:
    index = -1
    notes = fill.bar.notes
    for note, after in zip(notes, (*notes[1:], None), strict=True):
        if note.rest:
            # What is left open for an answer is no silence.
            left_open = note.onset >= fill.bar.written_end
            for rest in _rest(note, fill.bar.meter):
                yield replace(rest, hidden=left_open)
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
            written += map(of_feet, group)
        else:
            written += (replace(rest, hidden=True) for rest in _rests(group, meter))
    return tuple(written)


def _of_hands(symbol: Symbol) -> Symbol:
    if symbol.stroke is None or not symbol.by_foot:
        return symbol
    beside = tuple(hit for hit in symbol.stroke.beside if not hit.by_foot)
    return replace(symbol, stroke=symbol.stroke._replace(beside=beside))


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
