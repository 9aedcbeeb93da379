"""The feet as a line of their own, under hands that play their own rhythm."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import groupby
from operator import attrgetter

from rhythms.engine import Meter
from rhythms.engine.bars.values import tuplet_of
from rhythms.engine.bars.writing import Event, WrittenNote, write_out
from rhythms.engine.errors import BarError
from rhythms.engine.fills.fill import Hit, stroke_of
from rhythms.engine.fills.ostinato import FootHit
from rhythms.notation.layout.symbols import Symbol


def feet_line(
    symbols: Sequence[Symbol], going: Iterable[FootHit], meter: Meter
) -> tuple[Symbol, ...]:
    """The feet of a bar's ``symbols`` and those that keep ``going``: each up to the next one or the
    next beat, and without any that keep going up to a rest of the bar.

    Rests are hidden but for a beat in which a foot falls where no symbol is. Raises BarError where
    that cannot be written in one voice, or only with both in one beat in triplets and in halves.
    """
    own = {s.onset: of_feet(s) for s in symbols if s.by_foot and s.attack}
    along = _strokes(going)
    struck = {onset: _joined(own.get(onset), along.get(onset), onset) for onset in own | along}
    rests = {s.onset for s in symbols if s.stroke is None and not along}
    onsets = sorted({*struck, *rests, *(beat.onset for beat in meter.beats)})
    events = tuple(Event(onset, rest=onset not in struck) for onset in onsets)
    written = tuple(write_out(meter, events))
    _check_beats(written, own, along, meter)
    unseen = struck.keys() - {s.onset for s in symbols}
    shown = {meter.beat_at(onset).onset for onset in unseen} if symbols else set()
    return tuple(_placed(written, struck, shown, meter))


def _check_beats(
    written: Iterable[WrittenNote],
    own: Iterable[Fraction],
    along: Iterable[Fraction],
    meter: Meter,
) -> None:
    """Raises BarError for a beat in triplets and in halves that both kinds of feet share."""
    shared = {meter.beat_at(onset) for onset in own} & {meter.beat_at(onset) for onset in along}
    for beat, inside in groupby(written, key=lambda note: meter.beat_at(note.onset)):
        if beat in shared and len({tuplet_of(note.value) for note in inside}) > 1:
            raise BarError("A beat of the feet is in triplets and in halves.")


def of_feet(symbol: Symbol) -> Symbol:
    """What the feet play of a symbol."""
    if symbol.stroke is None or not symbol.by_hand:
        return symbol
    return replace(symbol, stroke=stroke_of(symbol.stroke.foot_hits), under=True)


def _strokes(going: Iterable[FootHit]) -> dict[Fraction, tuple[Hit, ...]]:
    return {
        onset: tuple(Hit(hit.surface, dynamic=hit.dynamic) for hit in hits)
        for onset, hits in groupby(going, key=attrgetter("onset"))
    }


def _joined(own: Symbol | None, along: tuple[Hit, ...] | None, onset: Fraction) -> Symbol:
    """One symbol of what a stroke of the fill has for the feet and of what they keep playing."""
    if own is None or own.stroke is None:
        return Symbol(onset, Fraction(0), "", stroke_of(along or ()))
    return replace(own, stroke=stroke_of((*own.stroke.hits, *along))) if along else own


def _placed(
    written: Iterable[WrittenNote],
    struck: dict[Fraction, Symbol],
    shown: set[Fraction],
    meter: Meter,
) -> Iterator[Symbol]:
    """What is written; a note that one symbol cannot hold ends with the first, rests follow."""
    for note in written:
        if note.rest or note.tie:
            hidden = meter.beat_at(note.onset).onset not in shown
            yield Symbol(note.onset, note.length, note.value, hidden=hidden)
        else:
            yield replace(
                struck[note.onset],
                length=note.length,
                value=note.value,
                tied_from=False,
                tied_to=False,
            )
