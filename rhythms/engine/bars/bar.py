"""One notated bar: notes and rests with exact onsets, lengths and written values."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from typing import Any

from rhythms.engine.bars import count_line
from rhythms.engine.bars.beat_divisions import Count
from rhythms.engine.bars.count_tokens import meter_of
from rhythms.engine.bars.meter import Beat, Meter
from rhythms.engine.bars.spoken_counts import every_count
from rhythms.engine.bars.values import LENGTHS, simple_value, tuplet_value
from rhythms.engine.bars.writing import Event, write_out
from rhythms.engine.errors import BarError


@dataclass(frozen=True)
class Note:
    """One written symbol: ``onset`` and ``length`` in quarter lengths, ``value`` a value class.

    ``tie`` marks a note that continues the one before it, without a stroke of its own.
    """

    onset: Fraction
    length: Fraction
    value: str
    rest: bool = False
    accent: bool = False
    tie: bool = False

    @property
    def end(self) -> Fraction:
        """Where the note stops, in quarter lengths."""
        return self.onset + self.length


@dataclass(frozen=True)
class Sounded:
    """One note as it is struck: tied symbols joined. ``index`` is its place among the strokes."""

    index: int
    onset: Fraction
    length: Fraction
    value: str
    accent: bool

    @property
    def end(self) -> Fraction:
        """Where it stops, in quarter lengths."""
        return self.onset + self.length


@dataclass(frozen=True)
class Bar:
    """A meter and notes that fill it exactly. Raises BarError, naming the note, otherwise.

    A fill of several bars is one ``Bar`` whose meter has as many. One with a pick-up has a bar
    before it that rests until the notes before the bar line begin. From ``open_from`` on (quarter
    lengths) it is left to the player: rests stand there, and whatever is played is an answer.
    ``groove_from``: where in a phrase the groove is taken up again, up to the next stroke.
    """

    meter: Meter
    notes: tuple[Note, ...]
    open_from: Fraction | None = None
    groove_from: tuple[Fraction, ...] = ()

    def __post_init__(self) -> None:
        position = Fraction(0)
        for index, note in enumerate(self.notes):
            _check_note(note, index, position, self.notes[index - 1] if index else None)
            position = note.end
            if self.open_from is not None and note.end > self.open_from and not note.rest:
                raise BarError(
                    f"Note {index + 1} stands where the bar is left open for an answer.", note=index
                )
        if position != self.meter.length:
            raise BarError(
                f"The notes last {position} quarters; a bar of {self.meter} "
                f"lasts {self.meter.length}.",
                note=len(self.notes) - 1 if self.notes else None,
            )
        _check_pickup(self.notes, self.meter.opens_at)

    @cached_property
    def _hash(self) -> int:
        return hash((self.meter, self.notes, self.open_from, self.groove_from))

    def __hash__(self) -> int:
        # Fills are looked up by the thousand; their bar's many Fractions are hashed once.
        return self._hash

    @classmethod
    def from_counts(cls, text: str, meter: str | Meter = "4/4") -> Bar:
        """A bar from a count line: ``Bar.from_counts("1 & 2 e & a 3 & 4 e & a")``.

        With a ``|`` in it, two bars; or one behind a pick-up, where the first does not begin on
        its first count. Raises CountLineError with the column and what was expected there,
        MeterError.
        """
        of_a_bar = Meter.parse(meter) if isinstance(meter, str) else meter
        return _read(text, meter_of(text, of_a_bar))

    @classmethod
    def from_events(cls, meter: Meter, events: Iterable[Event]) -> Bar:
        """A bar from where things start: each event lasts until the next one.

        The first event must start at 0. Written values and ties follow from the positions. Before
        a pick-up there is silence, however it is divided. Raises BarError where a length cannot
        be written, or something sounds before the pick-up.
        """
        starts = tuple(events)
        written = _silent_before(meter.opens_at, starts) if meter.pickup else starts
        return cls(meter, tuple(Note(*symbol) for symbol in write_out(meter, written)))

    def events(self) -> tuple[Event, ...]:
        """Where each stroke and each rest starts: the inverse of ``from_events``."""
        return tuple(
            Event(note.onset, note.rest, note.accent) for note in self.notes if not note.tie
        )

    def counts(self) -> str:
        """The count line; ``Bar.from_counts(bar.counts(), bar.meter) == bar``.

        Raises NotCountableError for a bar finer than counting goes.
        """
        return count_line.spell(self.events(), self.meter)

    @cached_property
    def spoken(self) -> tuple[Count, ...]:
        """All that is said aloud over it, struck or not; onsets from the first bar line."""
        return every_count(tuple(note.onset for note in self.notes), self.meter)

    @cached_property
    def sounded(self) -> tuple[Sounded, ...]:
        """One entry per stroke, in order; a tied chain counts as one note."""
        chains: list[list[Note]] = []
        for note in self.notes:
            if note.tie:
                chains[-1].append(note)
            elif not note.rest:
                chains.append([note])
        return tuple(_join(index, chain) for index, chain in enumerate(chains))

    @property
    def starts_at(self) -> Fraction:
        """Where the first stroke falls, in quarter lengths; the bar's length without any."""
        return self.sounded[0].onset if self.sounded else self.meter.length

    @property
    def lead_in(self) -> tuple[Beat, ...]:
        """The whole beats before the first stroke, where groove goes on; none without a stroke."""
        start = self.starts_at if self.sounded else Fraction(0)
        return tuple(beat for beat in self.meter.beats if beat.end <= start)

    @cached_property
    def groove_spans(self) -> tuple[tuple[Fraction, Fraction], ...]:
        """From where to where groove goes on, in quarter lengths: up to the first stroke, and from
        each of ``groove_from`` up to the next one.
        """
        end = self.written_end
        strokes = [note.onset for note in self.sounded]
        return ((Fraction(0), self.starts_at),) * bool(self.starts_at) + tuple(
            (start, min((onset for onset in strokes if onset >= start), default=end))
            for start in self.groove_from
        )

    @cached_property
    def leading_bars(self) -> tuple[int, ...]:
        """The last whole bar of groove before each fill, counted from 0; -1 is the one before it.

        A fill of a phrase that has less than a bar of groove before it has none.
        """
        strokes = {note.onset for note in self.sounded}
        first = self.meter.bar_at(self.starts_at) if strokes else 0
        again = (
            (start, self.meter.bar_at(end) - 1)
            for start, end in self.groove_spans
            if start in self.groove_from and end in strokes
        )
        whole = (bar for start, bar in again if bar * self.meter.bar_length >= start)
        return (first - 1, *whole)

    @property
    def written_end(self) -> Fraction:
        """Where what is written ends: where it is left open, or at the last bar line."""
        return self.meter.length if self.open_from is None else self.open_from

    @property
    def free_spans(self) -> tuple[tuple[Fraction, Fraction], ...]:
        """From where to where the player does what they like: groove, and what is left open."""
        return (*self.groove_spans, (self.written_end, self.meter.length))

    @cached_property
    def groove_beats(self) -> tuple[Beat, ...]:
        """The whole beats where groove goes on; none without a stroke."""
        return tuple(
            beat
            for beat in self.meter.beats
            for start, end in self.groove_spans
            if self.sounded and start <= beat.onset and beat.end <= end
        )

    def last_beats(self, number: int) -> Bar:
        """The bar with rests up to its last ``number`` beats; itself where it has no more.

        A pick-up that would be silent is left out. Raises BarError for no beat.
        """
        if number < 1:
            raise BarError("A fill lasts one beat at least.")
        if number >= len(self.meter.written_beats):
            return self
        before, after = self.meter.beats[:-number], self.meter.beats[-number:]
        start = after[0].onset
        kept = {event.onset: event for event in self.events() if event.onset >= start}
        rests = {onset: Event(onset, rest=True) for onset in (*(b.onset for b in before), start)}
        late = Bar.from_events(self.meter, sorted((rests | kept).values()))
        return late._without_pickup() if start >= self.meter.bar_length else late

    def _without_pickup(self) -> Bar:
        """The bars behind it; itself where there is none."""
        if not self.meter.pickup:
            return self
        by = self.meter.bar_length
        later = (event for event in self.events() if event.onset >= by)
        return Bar.from_events(
            self.meter.over(self.meter.bars - 1),
            [event._replace(onset=event.onset - by) for event in later],
        )

    def to_json(self) -> dict[str, Any]:
        """``{"meter": "4/4", "notes": [[onset, length, value, flags], …]}``, Fractions as text.

        With ``"bars": 2`` where there are two, ``"pickup"`` where the first has only so many
        counts, ``"open_from"`` where it is left open, and ``"groove_from"`` in a phrase.
        """
        bars = {"bars": self.meter.bars} if self.meter.bars > 1 else {}
        pickup = {"pickup": self.meter.pickup} if self.meter.pickup else {}
        notes = [_note_to_json(note) for note in self.notes]
        left_open = {} if self.open_from is None else {"open_from": str(self.open_from)}
        taken_up = [str(onset) for onset in self.groove_from]
        groove = {"groove_from": taken_up} if taken_up else {}
        return {"meter": str(self.meter), **bars, **pickup, "notes": notes, **left_open, **groove}

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Bar:
        """The inverse of ``to_json``. Raises BarError or MeterError."""
        try:
            notes = tuple(tuple(item) for item in data["notes"])
            taken_up = tuple(data.get("groove_from", ()))
            bars, pickup = data.get("bars", 1), data.get("pickup", 0)
            return _stored(data["meter"], bars, pickup, notes, data.get("open_from"), taken_up)
        except BarError:
            raise
        except (KeyError, TypeError, ValueError, IndexError, AttributeError) as error:
            raise BarError(f"This is not a stored bar: {error}.") from error


_FLAGS = {"r": "rest", "a": "accent", "t": "tie"}


def _note_to_json(note: Note) -> list[str]:
    flags = "".join(letter for letter, name in _FLAGS.items() if getattr(note, name))
    return [str(note.onset), str(note.length), note.value, flags]


@lru_cache(maxsize=256)
def _stored(
    meter: str,
    bars: int,
    pickup: int,
    notes: tuple[tuple[str, ...], ...],
    open_from: str | None,
    groove_from: tuple[str, ...],
) -> Bar:
    """Many stored fills are of a few bars; each is read, checked and hashed once."""
    whole = Meter.parse(meter).over(bars - bool(pickup))
    return Bar(
        whole.after_pickup(pickup) if pickup else whole,
        tuple(_note_from_json(note) for note in notes),
        None if open_from is None else Fraction(open_from),
        tuple(map(Fraction, groove_from)),
    )


def _note_from_json(item: tuple[str, ...]) -> Note:
    onset, length, value, flags = item
    return Note(
        Fraction(onset), Fraction(length), value, **{_FLAGS[letter]: True for letter in flags}
    )


def _join(index: int, chain: list[Note]) -> Sounded:
    first, length = chain[0], sum((note.length for note in chain), Fraction(0))
    value = first.value
    if len(chain) > 1:
        value = simple_value(length) or tuplet_value(length) or value
    return Sounded(index, first.onset, length, value, first.accent)


def _check_note(note: Note, index: int, position: Fraction, before: Note | None) -> None:
    def fail(what: str) -> BarError:
        return BarError(f"Note {index + 1}, at {note.onset} quarters: {what}", note=index)

    if note.onset != position:
        raise fail(f"it should start at {position}, where the note before it ends.")
    if note.value not in LENGTHS:
        raise fail(f"“{note.value}” is not a value class.")
    if note.length != LENGTHS[note.value]:
        raise fail(f"a {note.value} lasts {LENGTHS[note.value]} quarters, not {note.length}.")
    if note.tie and (before is None or before.rest or note.rest):
        raise fail("a tie needs a sounding note before it and holds no rest.")
    if note.accent and (note.rest or note.tie):
        raise fail("an accent needs a stroke.")


def _check_pickup(notes: tuple[Note, ...], opens_at: Fraction) -> None:
    for index, note in enumerate(notes):
        if note.onset >= opens_at:
            return
        if not note.rest or note.end > opens_at:
            raise BarError(
                f"Note {index + 1}, at {note.onset} quarters: before a pick-up there is silence.",
                note=index,
            )


def _silent_before(opens_at: Fraction, events: tuple[Event, ...]) -> tuple[Event, ...]:
    """One rest up to a pick-up, and something from there on. Raises BarError."""
    for index, event in enumerate(events):
        if event.onset < opens_at and not event.rest:
            raise BarError("Before a pick-up there is silence.", note=index)
    later = [event for event in events if event.onset >= opens_at]
    if not later or later[0].onset > opens_at:
        later.insert(0, Event(opens_at, rest=True))
    return (Event(Fraction(0), rest=True), *later)


@lru_cache(maxsize=1024)
def _read(text: str, meter: Meter) -> Bar:
    """A page reads the same few lines again and again."""
    return Bar.from_events(meter, count_line.parse(text, meter))
