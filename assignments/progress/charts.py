"""Geometry of the small charts: numbers in, places out; templates draw them.

A chart is `WIDTH` by `HEIGHT` units and is stretched to the room it is given, so its words
stand beside it, in the page, where they keep their size.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import pairwise
from typing import NamedTuple

WIDTH, HEIGHT = 280, 100
#: Where a scale may end, times a power of ten.
_ROUND = (1, Decimal("1.5"), 2, 3, 4, 5, 6, 8, 10)
_GAP = 0.2  # of a column
_WEEK = 7


class Column(NamedTuple):
    """One day's bar: its place in chart units, and what it says."""

    day: date
    value: Decimal
    x: str
    y: str
    width: str
    height: str


@dataclass(frozen=True)
class Bars:
    """A bar a day."""

    columns: tuple[Column, ...]
    top: Decimal
    width: int = WIDTH
    height: int = HEIGHT

    @property
    def weeks(self) -> tuple[date, ...]:
        """The first day of each seven, for the words under the chart."""
        return tuple(column.day for column in self.columns[::_WEEK])


@dataclass(frozen=True)
class Steps:
    """A line that climbs from day to day: `path` in the language of SVG."""

    days: tuple[date, ...]
    values: tuple[int, ...]
    path: str
    top: int
    width: int = WIDTH
    height: int = HEIGHT

    @property
    def last(self) -> int:
        """Where the line ends."""
        return self.values[-1]

    @property
    def rows(self) -> tuple[tuple[date, int], ...]:
        """Each day with its value."""
        return tuple(zip(self.days, self.values, strict=True))

    @property
    def weeks(self) -> tuple[date, ...]:
        """The first day of each seven."""
        return self.days[::_WEEK]


#: Little practice must not look like much: no scale of minutes ends below this.
LEAST_TOP = Decimal(10)


def bars(
    days: Sequence[date], values: Sequence[Decimal], *, least_top: Decimal = LEAST_TOP
) -> Bars:
    """Return a bar for each day; the scale ends at the greatest value, or at `least_top`."""
    top = round_top(max([*values, least_top, LEAST_TOP]))
    step = WIDTH / len(days)
    return Bars(
        tuple(
            _column(day, value, index * step, step, top)
            for index, (day, value) in enumerate(zip(days, values, strict=True))
        ),
        top,
    )


def _column(day: date, value: Decimal, left: float, step: float, top: Decimal) -> Column:
    height = float(value / top) * HEIGHT
    gap = step * _GAP
    return Column(
        day,
        value,
        _svg_number(left + gap / 2),
        _svg_number(HEIGHT - height),
        _svg_number(step - gap),
        _svg_number(height),
    )


def steps(days: Sequence[date], values: Sequence[int]) -> Steps:
    """Return the line through the values, level through each day and rising between days."""
    top = int(round_top(Decimal(max([*values, 4]))))
    step = WIDTH / len(days)
    heights = [_svg_number(HEIGHT - value / top * HEIGHT) for value in values]
    # Level days are one run: of years of practice stands where it rose.
    ends = [at for at, pair in enumerate(pairwise([*heights, ""]), 1) if pair[0] != pair[1]]
    runs = [f"V{heights[end - 1]}H{_svg_number(end * step)}" for end in ends]
    return Steps(tuple(days), tuple(values), f"M0 {heights[0]}{''.join(runs)}", top)


def round_top(value: Decimal) -> Decimal:
    """Return the next number from `value` up that reads well on a scale."""
    unit = Decimal(1)
    while value > unit * 10:
        unit *= 10
    return next(unit * part for part in _ROUND if unit * part >= value)


def _svg_number(number: float) -> str:
    return f"{number:.2f}".rstrip("0").rstrip(".")
