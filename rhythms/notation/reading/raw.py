"""A file's measures before they are spelled: when something is struck, when nothing sounds."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from rhythms.engine import Bar, Meter
from rhythms.engine.takes.struck_at_once import Caught


@dataclass(frozen=True)
class Strike:
    """Something struck at ``onset`` that sounds until ``end``, in quarters from the bar line.

    ``caught`` are the drums and cymbals that are struck, () where that is not told.
    """

    onset: Fraction
    end: Fraction
    accent: bool = False
    caught: tuple[Caught, ...] = ()


@dataclass(frozen=True)
class RawMeasure:
    """One measure of a file; ``meter`` is None where it cannot be counted.

    ``length`` is what its notes and rests last, ``rests`` where rests start, in quarters.
    ``held`` is how long a note from the measure before still sounds. ``words`` are the
    remarks so far; ``counted`` is the bar of a count line that came along. ``uncounted``: its file
    says that it is no bar of its own, but belongs to the next one.
    """

    number: str
    meter: Meter | None
    length: Fraction
    strikes: tuple[Strike, ...]
    rests: tuple[Fraction, ...] = ()
    held: Fraction = Fraction(0)
    words: tuple[str, ...] = ()
    counted: Bar | None = None
    uncounted: bool = False


@dataclass(frozen=True)
class RawPart:
    """One part: its name in the file, "" where it has none."""

    name: str
    measures: tuple[RawMeasure, ...]


@dataclass(frozen=True)
class Source:
    """What a file holds; ``words`` are about the file as a whole."""

    title: str
    parts: tuple[RawPart, ...]
    words: tuple[str, ...] = ()


def left_out(parts: int) -> tuple[str, ...]:
    """Words for the pitched parts of a file with percussion."""
    if not parts:
        return ()
    others = "1 other part was" if parts == 1 else f"{parts} other parts were"
    return (f"Only the percussion was read; {others} left out.",)
