"""The last four weeks as a calendar: the minutes of each day, in its cell."""

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from assignments.days import DAY, WEEK
from assignments.progress import NONE

WEEKS = 4
#: From so many minutes up, the next darker shade.
_SHADES_FROM = (1, 5, 10, 20)


class Cell(NamedTuple):
    """One day: its minutes (None for a day to come) and how dark it is, 0 to 4."""

    day: date
    minutes: Decimal | None
    shade: int


def days_of_strip(today: date) -> Sequence[date]:
    """Return all days of this week, Monday first, and of the three weeks before it."""
    monday = today - today.weekday() * DAY - (WEEKS - 1) * WEEK * DAY
    return [monday + n * DAY for n in range(WEEKS * WEEK)]


def strip(minutes: Mapping[date, Decimal], today: date) -> list[list[Cell]]:
    """Return the weeks, oldest first, each of seven cells."""
    cells = [_cell(day, minutes.get(day, NONE), today) for day in days_of_strip(today)]
    return [cells[at : at + WEEK] for at in range(0, len(cells), WEEK)]


def _cell(day: date, minutes: Decimal, today: date) -> Cell:
    if day > today:
        return Cell(day, None, 0)
    return Cell(day, minutes, sum(1 for least in _SHADES_FROM if minutes >= least))
