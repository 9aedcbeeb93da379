"""Days in a row with practice, counted kindly."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

_DAY, _WEEK = timedelta(days=1), timedelta(days=7)


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
