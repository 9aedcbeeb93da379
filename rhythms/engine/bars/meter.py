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


@dataclass(frozen=True)
class Beat:
    """One felt beat: ``onset`` and ``length`` in quarter lengths, ``number`` as it is counted."""

    onset: Fraction
    length: Fraction
    number: int

    @cached_property
    def end(self) -> Fraction:
        """Where the next beat starts, in quarter lengths."""
        return self.onset + self.length


@dataclass(frozen=True)
class Meter:
    """``count`` notes of value 1/``unit`` a bar.

    In quarter-note meters every count is a beat. In eighth-note meters the eighths are
    counted and a beat is a group of them: three in 3/8, 6/8, 9/8, 12/8; otherwise twos
    with a three at the end (7/8 is 2+2+3; common practice).
    Raises MeterError where ``unit`` is not 4 or 8 or ``count`` is not 1 to 15.
    """

    count: int
    unit: int

    def __post_init__(self) -> None:
        if self.unit not in _UNITS or not 1 <= self.count <= _MOST_COUNTS:
            raise MeterError(
                f"{self.count}/{self.unit} is not a meter this tool counts: "
                "use 1 to 15 quarters or eighths a bar, such as 4/4 or 6/8.",
                field="meter",
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

    @cached_property
    def length(self) -> Fraction:
        """The bar's length in quarter lengths."""
        return Fraction(4 * self.count, self.unit)

    @property
    def in_eighths(self) -> bool:
        """Whether the eighths are counted."""
        return self.unit == 8

    @cached_property
    def beats(self) -> tuple[Beat, ...]:
        """The felt beats, in order; they fill the bar."""
        one = Fraction(4, self.unit)
        beats, number = [], 1
        for size in self._groups():
            beats.append(Beat((number - 1) * one, size * one, number))
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
