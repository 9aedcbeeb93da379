"""The count line: a bar typed and printed as it is counted aloud.

Syllables after the traditional American system (common practice); for ``ta`` and five in a beat see
``beat_divisions``. Tokens have spaces between:

``1`` ``2`` …           the count sounds; each felt beat begins with its number, ``-`` or a rest
``e`` ``&`` ``a``       the 16ths after it; ``+`` and ``and`` are read as ``&``
``trip`` ``let``        the eighth triplets after it; six in a beat are ``1 trip let & trip let``
``(2)`` ``(e)``         a rest on that count
``3>`` ``a>``           an accent
``-``                   the note or rest before goes on through the count that would come here
``-2`` ``-&`` ``-e``    the same, with the count named
``|``                   a bar line, where a fill goes on into another bar
======================  ==================================================================
=======
============================  ============================================================
``1`` ``2`` …                 the count sounds; each felt beat begins with its number, ``-`` or
                              a rest
``e`` ``&`` ``a``             the 16ths after it; ``+`` and ``and`` are read as ``&``
``trip`` ``let``              the eighth triplets after it; six in a beat are
                              ``1 trip let & trip let``
``ka`` ``di`` ``mi`` ``ti``   the others of five in a beat
``ta``                        the 32nd after a 16th: ``1 ta e ta & ta a ta``
``(2)`` ``(e)``               a rest on that count
``3>`` ``a>``                 an accent
``-``                         the note or rest before goes on through the count that would come
                              here
``-2`` ``-&`` ``-e``          the same, with the count named
``|``                         a bar line, where a fill goes on into another bar. A first bar that
                              does not begin on 1 is a pick-up: ``4 & | 1 2 3 4``
============================  ============================================================

What is not counted belongs to the note before it, up to the next beat; a note that goes on into
another beat has a ``-`` there. A syllable has its place only together with the others of its
beat, so a beat is read whole: ``&`` is the half of ``1 & a``, and the fourth of six parts in
``1 trip -& trip let``, where the held ``-&`` must be named. The halves of a beat may be counted
apart, ``1 e & trip let``. In meters of eighths the eighths are counted, each for itself: with
``&`` between them, as ``1 e & a`` or ``1 trip let``; a felt beat then has several numbers, and a
held number is named where what is counted of it sounds. A pick-up that begins behind a number,
``& | 1 2 3 4``, has a rest there.

>>> from rhythms.engine import Bar
>>> def lengths(line, meter="4/4"):
...     bar = Bar.from_counts(line, meter)
...     assert bar.counts() == line
...     return " ".join(str(note.length) for note in bar.sounded)
>>> lengths("1 & 2 e & a 3 & 4 e & a")
'1/2 1/2 1/4 1/4 1/4 1/4 1/2 1/2 1/4 1/4 1/4 1/4'
>>> lengths("1 - 3 4"), lengths("1 & - 3 4"), lengths("1 - & 3 4")
('2 1 1', '1/2 3/2 1 1', '3/2 1/2 1 1')
>>> lengths("1 2 & - & 4"), lengths("1 trip -& trip let 2 3 4")
('1 1/2 1 1/2 1', '1/6 1/2 1/6 1/6 1 1 1')
>>> lengths("1 -2 & 3 4 5 6", "6/8"), lengths("1 2 3 - 5 6", "6/8")
('3/4 1/4 1/2 1/2 1/2 1/2', '1/2 1/2 1 1/2 1/2')
>>> lengths("1 ta e & trip let 2 ka mi ti", "2/4"), lengths("1 trip let 2 e & a 3", "3/8")
('1/8 1/8 1/4 1/6 1/6 1/6 1/5 2/5 1/5 1/5', '1/6 1/6 1/6 1/8 1/8 1/8 1/8 1/2')
>>> lengths("(2) & | 1 2", "2/4")
'1/2 1 1'

A line that cannot be read raises CountLineError with the column, what stands there and what could
have stood there; dashes that leave it open raise AmbiguousCountLineError.

>>> Bar.from_counts("1 2 x 4")
Traceback (most recent call last):
rhythms.engine.errors.CountLineError: ...
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import groupby

from rhythms.engine.bars.beat_divisions import Division
from rhythms.engine.bars.count_reading import LineReading
from rhythms.engine.bars.count_tokens import BAR_LINE, tokens_of
from rhythms.engine.bars.meter import Beat, Meter
from rhythms.engine.bars.spoken_counts import division_for
from rhythms.engine.bars.writing import Event


def parse(text: str, meter: Meter) -> tuple[Event, ...]:
    """The events of a count line. Raises CountLineError, AmbiguousCountLineError."""
    tokens, lines = tokens_of(text, meter)
    before = (Event(Fraction(0), rest=True),) if meter.pickup else ()
    return before + LineReading(tokens, lines, meter, len(text.rstrip())).only()


def spell(events: tuple[Event, ...], meter: Meter) -> str:
    """The count line of some events. Raises NotCountableError."""
    written = tuple(event for event in events if event.onset >= meter.opens_at)
    return f" {BAR_LINE} ".join(
        " ".join(word for beat in beats for word in _spell_beat(beat, written, meter))
        for _, beats in groupby(meter.written_beats, key=lambda beat: beat.bar)
    )


def _spell_beat(beat: Beat, events: tuple[Event, ...], meter: Meter) -> Iterator[str]:
    inside = {
        event.onset - beat.onset: event for event in events if beat.onset <= event.onset < beat.end
    }
    division = division_for(beat, frozenset(inside), meter)
    named = _named(division, inside)
    for place, count in enumerate(division.counts):
        event = inside.get(count.offset)
        if event is not None:
            yield _spell_event(event, count.label)
        elif place == 0 and beat.onset >= meter.opens_at:
            yield "-"
        elif place in named:
            yield f"-{count.label}"


def _named(division: Division, inside: Mapping[Fraction, Event]) -> set[int]:
    """The held places that must be named, since what follows would be read at another place.

    An "&" of counted eighths belongs to the number before it; six parts without their
    middle would read as three.
    """
    if division.open:
        return {
            place for place in range(1, len(division.counts)) if _keeps(division, place, inside)
        }
    named: set[int] = set()
    said = 0
    for place, count in enumerate(division.counts):
        if count.offset in inside:
            needed = place
            while (needed := division.needs[needed]) > said:
                named.add(needed)
            said = place
    return named


def _keeps(division: Division, place: int, inside: Mapping[Fraction, Event]) -> bool:
    label = division.counts[place].label
    if label.isdigit():
        after = division.counts[place + 1 : place + 2]
        return any(later.label == "&" and later.offset in inside for later in after)
    return label == "&" and division.counts[-1].label == "let"


def _spell_event(event: Event, label: str) -> str:
    if event.rest:
        return f"({label})"
    return f"{label}>" if event.accent else label
