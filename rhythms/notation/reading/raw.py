"""A file's measures before they are spelled: when something is struck, when nothing sounds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from rhythms.engine import Bar, Meter
from rhythms.engine.errors import MeterError
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


def counted_in(numerators: Sequence[int], denominator: int) -> tuple[Meter | None, tuple[str, ...]]:
    """The meter that a time signature is counted in here, and words where it is another one.

    Several ``numerators`` are its groups.
    """
    written = f"{'+'.join(map(str, numerators))}/{denominator}"
    try:
        meter = _same_length(numerators, denominator)
    except MeterError:
        return None, (f"{written} is not a meter this tool counts.",)
    if (meter.count, meter.unit) == (sum(numerators), denominator):
        return meter, ()
    return meter, (f"Written in {written}; counted here in {meter}.",)


def _same_length(numerators: Sequence[int], denominator: int) -> Meter:
    count = sum(numerators)
    if denominator == 2:
        return Meter(2 * count, 4)
    if denominator == 16 and count % 2 == 0:
        return Meter(count // 2, 8)
    try:
        return Meter(count, denominator, groups=tuple(numerators) if len(numerators) > 1 else ())
    except MeterError:
        # Groups that are not felt as one: the meter is counted all the same.
        return Meter(count, denominator)


def left_out(parts: int) -> tuple[str, ...]:
    """Words for the pitched parts of a file with percussion."""
    if not parts:
        return ()
    others = "1 other part was" if parts == 1 else f"{parts} other parts were"
    return (f"Only the percussion was read; {others} left out.",)
