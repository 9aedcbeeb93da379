"""Time signatures and where their beats fall."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from rhythms.engine.errors import MeterError

_SIGNATURE = re.compile(r"\s*(\d{1,2})\s*/\s*(\d{1,2})\s*")
_UNITS = (4, 8)
_MOST_COUNTS = 15
MOST_BARS = 4


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
    with a three at the end (7/8 is 2+2+3; common practice). ``bars`` is more than 1 of what goes
    over bar lines: a fill of several bars, whose beats are counted from 1 in each.
    Raises MeterError where ``unit`` is not 4 or 8, ``count`` not 1 to 15, or ``bars`` not 1 to 4.
    """

    count: int
    unit: int
    bars: int = 1

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

    @classmethod
    def parse(cls, text: str) -> Meter:
        """``"4/4"`` -> Meter(4, 4). Raises MeterError."""
        match = _SIGNATURE.fullmatch(text)
        if match is None:
            raise MeterError(f"“{text}” is not a meter: write it as 4/4 or 6/8.", field="meter")
        return cls(int(match[1]), int(match[2]))

    def __str__(self) -> str:
        return f"{self.count}/{self.unit}"

    def over(self, bars: int) -> Meter:
        """The same meter over so many bars. Raises MeterError."""
        return Meter(self.count, self.unit, bars)

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

    def bar_at(self, onset: Fraction) -> int:
        """The bar that holds ``onset``, counted from 0."""
        return int(onset // self.bar_length)

    def bar_end(self, onset: Fraction) -> Fraction:
        """Where the bar that holds ``onset`` ends."""
        return (self.bar_at(onset) + 1) * self.bar_length

    @property
    def in_eighths(self) -> bool:
        """Whether the eighths are counted."""
        return self.unit == 8

    @cached_property
    def beats(self) -> tuple[Beat, ...]:
        """The felt beats, in order; they fill the bars."""
        one = Fraction(4, self.unit)
        beats = []
        for bar in range(self.bars):
            number, start = 1, bar * self.bar_length
            for size in self._groups():
                beats.append(Beat(start + (number - 1) * one, size * one, number, bar + 1))
                number += size
        return tuple(beats)

    def _groups(self) -> tuple[int, ...]:
        if not self.in_eighths:
            return (1,) * self.count
        if self.count % 3 == 0:
            return (3,) * (self.count // 3)
        if self.count % 2 == 0 or self.count == 1:
            return (2,) * (self.count // 2) or (1,)
        return (2,) * ((self.count - 3) // 2) + (3,)

    def beat_at(self, onset: Fraction) -> Beat:
        """The beat that holds ``onset`` (quarter lengths, 0 <= onset < length)."""
        return next(beat for beat in self.beats if onset < beat.end)

    def is_on_beat(self, onset: Fraction) -> bool:
        """Whether a beat starts at ``onset``."""
        return any(beat.onset == onset for beat in self.beats)
