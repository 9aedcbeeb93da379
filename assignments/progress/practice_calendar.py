"""The last four weeks as a calendar, and how many days in a row were practised."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import NamedTuple

from assignments.days import DAY, WEEK
from assignments.progress.student_totals import NONE

WEEKS = 4
#: From so many minutes up, the next darker shade.
_SHADES_FROM = (1, 5, 10, 20)
_DAY, _WEEK = timedelta(days=1), timedelta(days=7)


class DayCell(NamedTuple):
    """One day: its minutes (None for a day to come) and how dark it is, 0 to 4."""

    day: date
    minutes: Decimal | None
    shade: int


def days_of_strip(today: date) -> Sequence[date]:
    """Return all days of this week, Monday first, and of the three weeks before it."""
    monday = today - today.weekday() * DAY - (WEEKS - 1) * WEEK * DAY
    return [monday + n * DAY for n in range(WEEKS * WEEK)]


def strip(minutes: Mapping[date, Decimal], today: date) -> list[list[DayCell]]:
    """Return the weeks, oldest first, each of seven cells."""
    cells = [_cell(day, minutes.get(day, NONE), today) for day in days_of_strip(today)]
    return [cells[at : at + WEEK] for at in range(0, len(cells), WEEK)]


def _cell(day: date, minutes: Decimal, today: date) -> DayCell:
    if day > today:
        return DayCell(day, None, 0)
    return DayCell(day, minutes, sum(1 for least in _SHADES_FROM if minutes >= least))


@dataclass(frozen=True)
class Streak:
    """The `days` with practice, oldest first, and those `forgiven` between them."""

    days: Sequence[date] = ()
    forgiven: Sequence[date] = ()

    def __len__(self) -> int:
        return len(self.days)


def streak(practised: Collection[date], today: date) -> Streak:
    """Return the days with practice that reach up to today without a break.

    One missed day a week is no break: after one that was forgiven, none is for six days. Today
    is not missed as long as it lasts.
    """
    there = set(practised)
    days: list[date] = []
    forgiven: list[date] = []
    day = today if today in there else today - _DAY
    while day in there or _may_miss(day, there, forgiven):
        (days if day in there else forgiven).append(day)
        day -= _DAY
    return Streak(days[::-1], forgiven[::-1])


def _may_miss(day: date, there: Collection[date], forgiven: Sequence[date]) -> bool:
    """Whether the day before was practised, and no other day of the week was missed."""
    return day - _DAY in there and (not forgiven or forgiven[-1] - day >= _WEEK)
