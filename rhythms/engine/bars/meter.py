"""Time signatures and where their beats fall."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from rhythms.engine.errors import MeterError

_SIGNATURE = re.compile(
    r"\s*(?P<counts>\d{1,2}(\s*\+\s*\d{1,2})*)\s*/\s*(?P<unit>\d{1,2})\s*"
    r"(\(\s*(?P<groups>\d{1,2}(\s*\+\s*\d{1,2})*)\s*\)\s*)?"
)
_UNITS = (4, 8)
_EIGHTH = 8
_START = Fraction(0)
_MOST_COUNTS = 15
#: Counts in one group: more would be felt as two.
_LARGEST_GROUP = 4
MOST_BARS = 4
#: Characters that a meter with its groups may take as text.
LONGEST_METER = 40


@dataclass(frozen=True)
class Beat:
    """One felt beat: ``onset`` and ``length`` in quarter lengths, ``number`` as it is counted.

    ``bar`` is the bar it is in, counted from 1.
    """

    onset: Fraction
    length: Fraction
    number: int
    bar: int = 1

    @cached_property
    def end(self) -> Fraction:
        """Where the next beat starts, in quarter lengths."""
        return self.onset + self.length

    @property
    def name(self) -> str:
        """Its number, after that of its bar where that is not the first: ``3``, ``2-3``."""
        return str(self.number) if self.bar == 1 else f"{self.bar}-{self.number}"


@dataclass(frozen=True)
class Meter:
    """``count`` notes of value 1/``unit`` a bar.

    In quarter-note meters every count is a beat. In eighth-note meters the eighths are
    counted and a beat is a group of them: three in 3/8, 6/8, 9/8, 12/8; otherwise twos
    with a three at the end (7/8 is 2+2+3; common practice), or as ``groups`` say where they are
    given; groups of quarters keep their beats together. ``bars`` is more than 1 of what goes
    over bar lines: a fill of several bars, whose beats are counted from 1 in each. Of the first one
    only the last ``pickup`` counts are written where there are any: notes before the bar line.
    Raises MeterError where ``unit`` is not 4 or 8, ``count`` not 1 to 15, ``bars`` not 1 to 4, the
    groups do not make up the bar, or a pick-up is not shorter than a bar.
    """

    count: int
    unit: int
    bars: int = 1
    groups: tuple[int, ...] = ()
    pickup: int = 0

    def __post_init__(self) -> None:
        if self.unit not in _UNITS or not 1 <= self.count <= _MOST_COUNTS:
            raise MeterError(
                f"{self.count}/{self.unit} is not a meter this tool counts: "
                "use 1 to 15 quarters or eighths a bar, such as 4/4 or 6/8.",
                field="meter",
            )
        if not 1 <= self.bars <= MOST_BARS:
            raise MeterError(
                f"A fill has one to {MOST_BARS} bars; {self.bars} were given.", field="meter"
            )
        if self.groups == _usual_groups(self.count, self.unit):
            object.__setattr__(self, "groups", ())  # one meter, however it was written
        self._check_groups()
        if not 0 <= self.pickup < self.count or (self.pickup and self.bars == 1):
            raise MeterError(
                f"A pick-up is shorter than a bar of {self}, and stands before one.", field="meter"
            )

    def _check_groups(self) -> None:
        total, written = sum(self.groups), "+".join(map(str, self.groups))
        if self.groups and total != self.count:
            raise MeterError(
                f"The groups {written} make {total}; a bar of {self.count}/{self.unit} has "
                f"{self.count} counts.",
                field="meter",
            )
        if len(self.groups) == 1 or not all(1 <= size <= _LARGEST_GROUP for size in self.groups):
            raise MeterError(
                f"{written}: a bar has groups of 1 to {_LARGEST_GROUP} counts, such as 3+2+2.",
                field="meter",
            )

    @classmethod
    def parse(cls, text: str) -> Meter:
        """``"4/4"`` -> Meter(4, 4). Raises MeterError.

        Groups of another order stand behind it, ``7/8 (3+2+2)``, or instead of the count,
        ``3+2+2/8``.
        """
        match = _SIGNATURE.fullmatch(text)
        counts = _numbers(match["counts"]) if match else ()
        if match is None or (len(counts) > 1 and match["groups"]):
            raise MeterError(
                f"“{text}” is not a meter: write it as 4/4, 6/8 or 7/8 (3+2+2).", field="meter"
            )
        groups = _numbers(match["groups"] or "") or (counts if len(counts) > 1 else ())
        try:
            return cls(sum(counts), int(match["unit"]), groups=groups)
        except MeterError as error:
            if not match["groups"]:
                raise
            column, why = match.start("groups"), error.message
            raise MeterError(
                f"In the meter, at column {column + 1}, “{match['groups']}”: "
                f"{why[0].lower()}{why[1:]}",
                field="meter",
            ) from error

    def __str__(self) -> str:
        """``4/4``; ``7/8 (3+2+2)`` where it is grouped otherwise than usual."""
        groups = f" ({'+'.join(map(str, self.groups))})" if self.groups else ""
        return f"{self.count}/{self.unit}{groups}"

    def over(self, bars: int) -> Meter:
        """The same meter over so many whole bars. Raises MeterError."""
        return Meter(self.count, self.unit, bars, self.groups)

    @property
    def whole_bars(self) -> int:
        """How many bars are written whole: all but that of a pick-up."""
        return self.bars - bool(self.pickup)

    def first(self, bars: int) -> Meter:
        """The same meter and pick-up over so many bars in all. Raises MeterError."""
        return Meter(self.count, self.unit, bars, self.groups, self.pickup)

    def after_pickup(self, counts: int) -> Meter:
        """The same bars behind a pick-up of so many counts, in a bar of its own.

        Raises MeterError.
        """
        return Meter(self.count, self.unit, self.bars + 1, self.groups, counts)

    @cached_property
    def one_bar(self) -> Meter:
        """The meter of each of the bars."""
        return self.over(1)

    @cached_property
    def bar_length(self) -> Fraction:
        """The length of one bar in quarter lengths."""
        return Fraction(4 * self.count, self.unit)

    @cached_property
    def length(self) -> Fraction:
        """The length of all bars in quarter lengths."""
        return self.bars * self.bar_length

    @cached_property
    def opens_at(self) -> Fraction:
        """Where what is written begins: later than 0 where there is a pick-up."""
        return self.bar_length - Fraction(4 * self.pickup, self.unit) if self.pickup else _START

    @property
    def bar_line(self) -> Fraction:
        """Where the first whole bar begins: behind the bar of a pick-up."""
        return self.bar_length if self.pickup else _START

    def bar_at(self, onset: Fraction) -> int:
        """The bar that holds ``onset``, counted from 0."""
        return int(onset // self.bar_length)

    def bar_end(self, onset: Fraction) -> Fraction:
        """Where the bar that holds ``onset`` ends."""
        return (self.bar_at(onset) + 1) * self.bar_length

    @property
    def in_eighths(self) -> bool:
        """Whether the eighths are counted."""
        return self.unit == _EIGHTH

    @cached_property
    def beats(self) -> tuple[Beat, ...]:
        """The felt beats, in order; they fill the bars."""
        one = Fraction(4, self.unit)
        sizes = self._felt() if self.in_eighths else (1,) * self.count
        beats = []
        for bar in range(self.bars):
            number, start = 1, bar * self.bar_length
            for size in sizes:
                beats.append(Beat(start + (number - 1) * one, size * one, number, bar + 1))
                number += size
        return tuple(beats)

    @cached_property
    def written_beats(self) -> tuple[Beat, ...]:
        """The beats of which something is written: all, or those from a pick-up on."""
        return tuple(beat for beat in self.beats if beat.end > self.opens_at)

    @cached_property
    def group_starts(self) -> frozenset[Fraction]:
        """Where groups of quarters begin; none where nobody says how they are grouped."""
        if self.in_eighths or not self.groups:
            return frozenset()
        starts = [sum(self.groups[:number], _START) for number in range(len(self.groups))]
        return frozenset(bar * self.bar_length + at for bar in range(self.bars) for at in starts)

    def _felt(self) -> tuple[int, ...]:
        return self.groups or _usual_groups(self.count, self.unit)

    def beat_at(self, onset: Fraction) -> Beat:
        """The beat that holds ``onset`` (quarter lengths, 0 <= onset < length)."""
        return next(beat for beat in self.beats if onset < beat.end)

    def is_on_beat(self, onset: Fraction) -> bool:
        """Whether a beat starts at ``onset``."""
        return any(beat.onset == onset for beat in self.beats)


def _usual_groups(count: int, unit: int) -> tuple[int, ...]:
    """How counts are grouped where nobody says otherwise (common practice)."""
    if unit != _EIGHTH:
        return (1,) * count
    if count % 3 == 0:
        return (3,) * (count // 3)
    if count % 2 == 0 or count == 1:
        return (2,) * (count // 2) or (1,)
    return (2,) * ((count - 3) // 2) + (3,)


def _numbers(text: str) -> tuple[int, ...]:
    return tuple(int(number) for number in text.split("+") if number.strip())
