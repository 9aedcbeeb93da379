"""The strokes of our own swung MIDI files, taken back to where they are written."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from fractions import Fraction

from rhythms.engine import Bar
from rhythms.engine.bars.feel import Feel
from rhythms.notation.reading.blows import Blow

#: Ticks are whole, and the way back makes more of what was rounded off.
_ROUNDED = 2


def unswung(
    blows: Iterable[Blow], feel: Feel, counted: Mapping[Fraction, Bar | None], ticks: int
) -> Iterator[Blow]:
    """Each stroke on its written tick, of which ``ticks`` are a quarter.

    ``counted`` has the bars of count lines by where they start, in quarters; strokes elsewhere stay
    where they are.
    """
    bars = [(start, bar, feel.warp_of(bar)) for start, bar in counted.items() if bar is not None]
    for blow in blows:
        at = Fraction(blow.tick, ticks)
        there = [(start, bar, warp) for start, bar, warp in bars if _is_in(bar, at - start)]
        for start, bar, warp in there[:1]:
            written = _on_a_note(bar, warp.written(at - start), Fraction(_ROUNDED, ticks))
            at = start + written
        yield replace(blow, tick=round(at * ticks))


def _is_in(bar: Bar, onset: Fraction) -> bool:
    return 0 <= onset < bar.meter.length


def _on_a_note(bar: Bar, onset: Fraction, near: Fraction) -> Fraction:
    """The onset of the note that it is this near to; itself without any."""
    notes = (note.onset for note in bar.notes if abs(note.onset - onset) <= near)
    return next(notes, onset)
