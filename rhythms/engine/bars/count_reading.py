"""From typed counts to where things start: all readings of a line, or where none went on."""

from __future__ import annotations

from rhythms.engine.bars.beat_divisions import Division, divisions_of
from rhythms.engine.bars.count_tokens import BAR_LINE, OF_FIVE, Token, TypedBarLine
from rhythms.engine.bars.meter import Beat, Meter
from rhythms.engine.bars.writing import Event
from rhythms.engine.errors import AmbiguousCountLineError, CountLineError

Events = tuple[Event, ...]
_PICKUP = "A pick-up is shorter than a bar, and the bar line ends it."
_BEFORE_ONE = f"A bar begins on 1; behind notes before it type “{BAR_LINE}”."
_FIVE_ALONE = "Five in a beat do not go with other counts."
_NAME_IN_FIVE = "Of five in a beat name what is held, such as -di: a dash alone is a whole beat."
_FIVE_OF_QUARTERS = "Five in a beat are counted in meters of quarters alone."


class LineReading:
    """All readings of a line that ends in column ``end``, and the furthest place of a dead end."""

    def __init__(
        self, tokens: tuple[Token, ...], lines: tuple[TypedBarLine, ...], meter: Meter, end: int
    ) -> None:
        self.tokens = tokens
        self.beats = meter.written_beats
        bars_begin = [
            number
            for number, beat in enumerate(self.beats)
            if number and beat.bar != self.beats[number - 1].bar
        ]
        #: Where each further bar begins, by the number of its first beat.
        self.lines = dict(zip(bars_begin, lines, strict=True))
        self.meter = meter
        self.end = end
        self.furthest = 0
        self.expected: dict[str, None] = {}
        self._from: dict[tuple[int, int], tuple[Events, ...]] = {}

    def only(self) -> Events:
        """The one reading. Raises CountLineError, AmbiguousCountLineError."""
        readings = self.all()
        if len(readings) > 1:
            dash = next(token for token in self.tokens if token.hold and token.label is None)
            numbers = tuple(f"-{beat.number}" for beat in self.beats[1:])
            raise AmbiguousCountLineError(
                dash.column,
                dash.text,
                numbers,
                "The dashes can be read in two ways; name what is held.",
            )
        return readings[0]

    def all(self) -> tuple[Events, ...]:
        """One or two different readings (two is enough to be ambiguous). Raises CountLineError."""
        if self.tokens and self.tokens[0].hold:
            first, number = self.tokens[0], self._first_number(self.beats[0])
            raise CountLineError(
                first.column, first.text, (number, f"({number})"), "There is nothing to hold yet."
            )
        readings = self._readings(0, 0)
        if not readings:
            raise self._error()
        return readings

    # --- words for what cannot be read ------------------------------------------------

    def _error(self) -> CountLineError:
        expected = tuple(self.expected)
        if self.furthest == len(self.tokens):
            return CountLineError(self.end, "", expected, "The bar is not full.")
        token = self.tokens[self.furthest]
        for first, line in self.lines.items():
            met = line.before == self.furthest
            if met and (not line.before or str(self.beats[first].number) not in expected):
                return CountLineError(line.column, BAR_LINE, expected, "The bar is not full.")
        return CountLineError(token.column, token.text, expected, self._why(token))

    def _why(self, token: Token) -> str:
        if self.meter.pickup and BAR_LINE in self.expected and str(token.label).isdigit():
            return _PICKUP
        if not (self.lines or self.furthest or token.label in (None, "1")):
            return _BEFORE_ONE
        if self._has_dash_in_five(token):
            return _NAME_IN_FIVE
        number = str(token.label).isdigit()
        said = [*([] if number else [token.label]), *self._said_in_beat()]
        if not any(label in OF_FIVE for label in said):
            return ""
        if self.meter.in_eighths:
            return _FIVE_OF_QUARTERS
        return "" if all(label in OF_FIVE for label in said) else _FIVE_ALONE

    def _has_dash_in_five(self, token: Token) -> bool:
        """Whether a number comes too early, behind a dash that was meant for one of five."""
        before = [one.label for one in self.tokens[: self.furthest]]
        while before and before[-1] in OF_FIVE:
            before.pop()
        meant = len(before) > 1 and before[-1] is None and before[-2] in OF_FIVE[:-1]
        return meant and str(token.label).isdigit()

    def _said_in_beat(self) -> list[str]:
        """The syllables since the last number or bare dash before the furthest token."""
        said: list[str] = []
        for token in reversed(self.tokens[: self.furthest]):
            if token.label is None or token.label.isdigit():
                break
            said.append(token.label)
        return said

    # --- reading ----------------------------------------------------------------------

    def _readings(self, beat: int, start: int) -> tuple[Events, ...]:
        """The readings of the tokens from ``start`` as the beats from number ``beat``."""
        if beat == len(self.beats):
            if start < len(self.tokens):
                self._note_expected(start, ("the end of the bar",))
                return ()
            return ((),)
        if beat in self.lines and self.lines[beat].before != start:
            self._note_expected(start, (BAR_LINE,))
            return ()
        if (beat, start) not in self._from:
            self._from[beat, start] = self._read_on(beat, start)
        return self._from[beat, start]

    def _read_on(self, number: int, start: int) -> tuple[Events, ...]:
        found: dict[Events, None] = {}
        beat, last = self.beats[number], self._last_stop(number, start)
        if start == last or not self._can_begin(beat, start):
            self._note_expected(start, (self._first_number(beat), "-"))
            return ()
        divisions = divisions_of(beat, in_eighths=self.meter.in_eighths)
        # One token too many says what could have come in its place.
        most = max(len(division.counts) for division in divisions) + 1
        for stop in range(start + 1, min(last, start + most) + 1):
            events = self._read_beat(divisions, beat, start, stop)
            if events is not None:
                for rest in self._readings(number + 1, stop):
                    found[events + rest] = None
        return tuple(found)[:2]

    def _last_stop(self, number: int, start: int) -> int:
        """A beat cannot reach past the number of the next one, where that is typed."""
        numbers = {str(later.number) for later in self.beats[number + 1 :]}
        lines = [line.before for first, line in self.lines.items() if first > number]
        end = min([len(self.tokens), *lines])
        for index in range(start + 1, end):
            if self.tokens[index].label in numbers:
                return index
        return end

    def _read_beat(
        self, divisions: tuple[Division, ...], beat: Beat, start: int, stop: int
    ) -> Events | None:
        for division in divisions:
            events = self._fit(division, beat, start, stop)
            if events is not None:
                return events
        return None

    def _fit(self, division: Division, beat: Beat, start: int, stop: int) -> Events | None:
        """Lay the tokens on the division in order; the first one takes the beat itself."""
        grid, said = division.counts, self._first_place(division, beat)
        events = [Event(beat.onset + grid[said].offset, rest=True)] if self._headless(start) else []
        first = start + 1 - len(events)
        place = said + len(events)
        for index in range(start, stop):
            open_places = range(place, place + 1 if index < first else len(grid))
            at = next((p for p in open_places if self._may_be(index, division, p, said)), None)
            if at is None:
                self._expect_after(index, division, beat, (place, said), start)
                return None
            token = self.tokens[index]
            if not token.hold:
                events.append(Event(beat.onset + grid[at].offset, token.rest, token.accent))
            place, said = at + 1, at
        if stop < len(self.tokens):
            self._expect_after(stop, division, beat, (place, said), start)
        return tuple(events)

    def _may_be(self, index: int, division: Division, place: int, said: int) -> bool:
        """Whether a token can stand for a place, after the place that was said last."""
        label = self.tokens[index].label
        if label is None:
            return division.open or place == said
        return label == division.counts[place].label and said >= division.needs[place]

    def _headless(self, start: int) -> bool:
        """Whether a pick-up begins with a syllable, its number unsaid: a rest stands there."""
        first = self.tokens[start].label
        return not start and bool(self.meter.pickup) and first is not None and not first.isdigit()

    def _can_begin(self, beat: Beat, start: int) -> bool:
        return self._headless(start) or (
            self.tokens[start].label in (None, self._first_number(beat))
        )

    def _first_number(self, beat: Beat) -> str:
        """The number that a beat is written from: of a pick-up it may have only its end."""
        unwritten = self.meter.opens_at - beat.onset
        return str(beat.number + max(int(unwritten * self.meter.unit / 4), 0))

    def _first_place(self, division: Division, beat: Beat) -> int:
        first = self._first_number(beat)
        return next(at for at, count in enumerate(division.counts) if count.label == first)

    # --- what could have come ---------------------------------------------------------

    def _expect_after(
        self, index: int, division: Division, beat: Beat, reached: tuple[int, int], start: int
    ) -> None:
        """Finer counts are named only to whoever has begun with them.

        ``reached``: the first open place, and the one that was said last.
        """
        place, said = reached
        if index == start:
            self._note_expected(index, (self._first_number(beat), "-"))
        elif division.open or index > start + 1:
            labels = [
                count.label
                for at, count in enumerate(division.counts[place:], place)
                if said >= division.needs[at]
            ]
            later = [other for other in self.beats if other.onset == beat.end]
            ending = [
                str(other.number) if other.bar == beat.bar else BAR_LINE for other in later
            ] or ["the end of the bar"]
            self._note_expected(index, (*labels, *ending))

    def _note_expected(self, index: int, expected: tuple[str, ...]) -> None:
        if index > self.furthest:
            self.furthest, self.expected = index, {}
        if index == self.furthest:
            self.expected.update(dict.fromkeys(expected))
