"""The count line: a bar typed and printed as it is counted aloud.

Syllables after the traditional American system (common practice). Tokens have spaces between:

======================  ==================================================================
``1`` ``2`` …           the count sounds; each felt beat begins with its number, ``-`` or a rest
``e`` ``&`` ``a``       the 16ths after it; ``+`` and ``and`` are read as ``&``
``trip`` ``let``        the eighth triplets after it; six in a beat are ``1 trip let & trip let``
``(2)`` ``(e)``         a rest on that count
``3>`` ``a>``           an accent
``-``                   the note or rest before goes on through the count that would come here
``-2`` ``-&`` ``-e``    the same, with the count named
``|``                   a bar line, where a fill goes on into another bar
======================  ==================================================================

What is not counted belongs to the note before it, up to the next beat; a note that goes on into
another beat has a ``-`` there. A syllable has its place only together with the others of its
beat, so a beat is read whole: ``&`` is the half of ``1 & a``, and the fourth of six parts in
``1 trip -& trip let``, where the held ``-&`` must be named. In meters of eighths the eighths are
counted, with ``&`` between them; a felt beat then has several numbers, and a held number is named
where the ``&`` after it sounds.

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

A line that cannot be read raises CountLineError with the column, what stands there and what could
have stood there; dashes that leave it open raise AmbiguousCountLineError.

>>> Bar.from_counts("1 2 x 4")
Traceback (most recent call last):
rhythms.engine.errors.CountLineError: ...
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby, pairwise
from typing import NamedTuple

from rhythms.engine.bars.meter import MOST_BARS, Beat, Meter
from rhythms.engine.bars.spoken_counts import Grid, grid_for, grids
from rhythms.engine.bars.writing import Event
from rhythms.engine.errors import AmbiguousCountLineError, CountLineError

_TOKEN = re.compile(r"\||[^\s|]+")
BAR_LINE = "|"
_SHAPE = re.compile(
    r"(?P<hold>-)(?P<held>[^\s()>-]*)|\((?P<rest>[^\s()>-]+)\)|(?P<sound>[^\s()>-]+)(?P<accent>>?)"
)
_SPELLINGS = {"+": "&", "and": "&"}
_SYLLABLES = ("e", "&", "a", "trip", "let")
#: A line longer than this is not one bar; it keeps reading time bounded.
_MOST_COLUMNS = 400


@dataclass(frozen=True)
class Token:
    """One typed count. ``label`` is None for a bare dash: it holds through whatever comes next."""

    text: str
    column: int
    label: str | None
    hold: bool = False
    rest: bool = False
    accent: bool = False


def parse(text: str, meter: Meter) -> tuple[Event, ...]:
    """The events of a count line. Raises CountLineError, AmbiguousCountLineError."""
    tokens, lines = _tokens(text, meter)
    return _Reading(tokens, lines, meter, len(text.rstrip())).only()


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
    tokens, lines = _tokens(text, meter)
    end = len(text.rstrip())
    try:
        events = _Reading(tokens, lines, meter, end).only()
    except CountLineError:
        tokens, lines = _with_silent_beats(tokens, lines, meter, end)
        events = _Reading(tokens, lines, meter, end).only()
    counted = [token for token in tokens if not token.hold]
    return tuple(
        StruckCount(event.onset, event.accent, token.column)
        for event, token in zip(events, counted, strict=True)
        if not event.rest
    )


def spell(events: tuple[Event, ...], meter: Meter) -> str:
    """The count line of some events. Raises NotCountableError."""
    return f" {BAR_LINE} ".join(
        " ".join(word for beat in beats for word in _spell_beat(beat, events, meter))
        for _, beats in groupby(meter.beats, key=lambda beat: beat.bar)
    )


def bars_in(text: str) -> int:
    """How many bars a count line has, by its bar lines. Raises CountLineError for too many."""
    lines = [place for place, letter in enumerate(text) if letter == BAR_LINE]
    if len(lines) >= MOST_BARS:
        raise CountLineError(
            lines[MOST_BARS - 1], BAR_LINE, (), f"A fill has {MOST_BARS} bars at most."
        )
    return len(lines) + 1


# --- printing ------------------------------------------------------------------------


def _spell_beat(beat: Beat, events: tuple[Event, ...], meter: Meter) -> Iterator[str]:
    inside = {
        event.onset - beat.onset: event for event in events if beat.onset <= event.onset < beat.end
    }
    grid = grid_for(beat, frozenset(inside), meter)
    for place, count in enumerate(grid):
        event = inside.get(count.offset)
        if event is not None:
            yield _spell_event(event, count.label)
        elif place == 0:
            yield "-"
        elif _must_name(grid, place, inside):
            yield f"-{count.label}"


def _must_name(grid: Grid, place: int, inside: Mapping[Fraction, Event]) -> bool:
    """Whether a held count must be named, since what follows would be read at another place.

    An "&" of counted eighths belongs to the number before it; six parts without their
    middle would read as three.
    """
    count = grid[place]
    if count.label.isdigit():
        after = grid[place + 1 : place + 2]
        return any(later.label == "&" and later.offset in inside for later in after)
    return count.label == "&" and grid[-1].label == "let"


def _spell_event(event: Event, label: str) -> str:
    if event.rest:
        return f"({label})"
    return f"{label}>" if event.accent else label


# --- reading -------------------------------------------------------------------------


class TypedBarLine(NamedTuple):
    """``before`` which token it stands, and in which column."""

    before: int
    column: int


def _tokens(text: str, meter: Meter) -> tuple[tuple[Token, ...], tuple[TypedBarLine, ...]]:
    """The counts, and the bar lines between them."""
    if len(text) > _MOST_COLUMNS:
        raise CountLineError(_MOST_COLUMNS, "", (), f"A bar takes at most {_MOST_COLUMNS} columns.")
    tokens: list[Token] = []
    lines: list[TypedBarLine] = []
    for match in _TOKEN.finditer(text):
        if match[0] == BAR_LINE:
            lines.append(TypedBarLine(len(tokens), match.start()))
        else:
            tokens.append(_token(match[0], match.start(), meter))
    return tuple(tokens), tuple(lines)


def _token(text: str, column: int, meter: Meter) -> Token:
    shape = _SHAPE.fullmatch(text)
    if shape is None:
        raise CountLineError(column, text, ("3", "(3)", "3>", "-"), "This is not a count.")
    spoken = shape["held"] or shape["rest"] or shape["sound"]
    label = _label(spoken, column, text, meter) if spoken else None
    return Token(
        text, column, label, bool(shape["hold"]), bool(shape["rest"]), bool(shape["accent"])
    )


def _label(spoken: str, column: int, text: str, meter: Meter) -> str:
    label = _SPELLINGS.get(spoken.lower(), spoken.lower())
    number = label.isascii() and label.isdigit()
    if number and 1 <= int(label[:4]) <= meter.count:
        return str(int(label))
    if number:
        raise CountLineError(column, text, (), f"A bar of {meter} counts from 1 to {meter.count}.")
    if label not in _SYLLABLES:
        raise CountLineError(column, text, ("a number", *_SYLLABLES), "This is not a count.")
    return label


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


class _Reading:
    """All readings of a line, and the furthest place where none went on."""

    def __init__(
        self, tokens: tuple[Token, ...], lines: tuple[TypedBarLine, ...], meter: Meter, end: int
    ) -> None:
        self.tokens = tokens
        beats = len(meter.beats) // meter.bars
        #: Where each further bar begins, by the number of its first beat.
        self.lines = {beats * (number + 1): line for number, line in enumerate(lines)}
        self.meter = meter
        self.end = end
        self.furthest = 0
        self.expected: dict[str, None] = {}
        self._from: dict[tuple[int, int], tuple[tuple[Event, ...], ...]] = {}

    def only(self) -> tuple[Event, ...]:
        """The one reading. Raises CountLineError, AmbiguousCountLineError."""
        readings = self.all()
        if len(readings) > 1:
            dash = next(token for token in self.tokens if token.hold and token.label is None)
            numbers = tuple(f"-{beat.number}" for beat in self.meter.beats[1:])
            raise AmbiguousCountLineError(
                dash.column,
                dash.text,
                numbers,
                "The dashes can be read in two ways; name what is held.",
            )
        return readings[0]

    def all(self) -> tuple[tuple[Event, ...], ...]:
        """One or two different readings (two is enough to be ambiguous). Raises CountLineError."""
        if self.tokens and self.tokens[0].hold:
            first = self.tokens[0]
            raise CountLineError(
                first.column, first.text, ("1", "(1)"), "There is nothing to hold yet."
            )
        readings = self._readings(0, 0)
        if not readings:
            raise self._error()
        return readings

    def _error(self) -> CountLineError:
        expected = tuple(self.expected)
        if self.furthest == len(self.tokens):
            return CountLineError(self.end, "", expected, "The bar is not full.")
        token = self.tokens[self.furthest]
        for first, line in self.lines.items():
            met = line.before == self.furthest
            if met and (not line.before or str(self.meter.beats[first].number) not in expected):
                return CountLineError(line.column, BAR_LINE, expected, "The bar is not full.")
        return CountLineError(token.column, token.text, expected)

    def _readings(self, beat: int, start: int) -> tuple[tuple[Event, ...], ...]:
        """The readings of the tokens from ``start`` as the beats from number ``beat``."""
        if beat == len(self.meter.beats):
            if start < len(self.tokens):
                self._fail(start, ("the end of the bar",))
                return ()
            return ((),)
        if beat in self.lines and self.lines[beat].before != start:
            self._fail(start, (BAR_LINE,))
            return ()
        if (beat, start) not in self._from:
            self._from[beat, start] = self._read_on(beat, start)
        return self._from[beat, start]

    def _read_on(self, beat: int, start: int) -> tuple[tuple[Event, ...], ...]:
        found: dict[tuple[Event, ...], None] = {}
        if start == self._last_stop(beat, start):
            self._fail(start, (str(self.meter.beats[beat].number), "-"))
            return ()
        for stop in range(start + 1, self._last_stop(beat, start) + 1):
            events = self._read_beat(self.meter.beats[beat], start, stop)
            if events is not None:
                for rest in self._readings(beat + 1, stop):
                    found[events + rest] = None
        return tuple(found)[:2]

    def _last_stop(self, beat: int, start: int) -> int:
        """A beat cannot reach past the number of the next one, where that is typed."""
        beats = self.meter.beats[beat + 1 :]
        numbers = {str(later.number) for later in beats}
        lines = [line.before for first, line in self.lines.items() if first > beat]
        end = min([len(self.tokens), *lines])
        for index in range(start + 1, end):
            if self.tokens[index].label in numbers:
                return index
        return end

    def _read_beat(self, beat: Beat, start: int, stop: int) -> tuple[Event, ...] | None:
        for grid in grids(beat, self.meter.in_eighths):
            events = self._fit(grid, beat, start, stop)
            if events is not None:
                return events
        return None

    def _fit(self, grid: Grid, beat: Beat, start: int, stop: int) -> tuple[Event, ...] | None:
        """Lay the tokens on the grid in order; the first one takes the beat itself."""
        place, events = 0, []
        for index in range(start, stop):
            token = self.tokens[index]
            open_places = range(place, place + 1) if index == start else range(place, len(grid))
            at = next((p for p in open_places if token.label in (None, grid[p].label)), None)
            if at is None:
                self._fail(index, self._could_follow(grid, beat, place, index == start))
                return None
            if not token.hold:
                events.append(Event(beat.onset + grid[at].offset, token.rest, token.accent))
            place = at + 1
        if stop < len(self.tokens):
            self._note_expected(stop, self._could_follow(grid, beat, place, False))
        return tuple(events)

    def _could_follow(self, grid: Grid, beat: Beat, place: int, head: bool) -> tuple[str, ...]:
        if head:
            return grid[0].label, "-"
        labels = [count.label for count in grid[place:]]
        later = [other for other in self.meter.beats if other.onset == beat.end]
        ending = [str(other.number) if other.bar == beat.bar else BAR_LINE for other in later] or [
            "the end of the bar"
        ]
        return tuple(labels + ending)

    def _fail(self, index: int, expected: tuple[str, ...]) -> None:
        self._note_expected(index, expected)

    def _note_expected(self, index: int, expected: tuple[str, ...]) -> None:
        if index > self.furthest:
            self.furthest, self.expected = index, {}
        if index == self.furthest:
            self.expected.update(dict.fromkeys(expected))
