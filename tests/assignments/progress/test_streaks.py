"""Days in a row, one missed day a week forgiven."""

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assignments.progress.practice_calendar import streak

TODAY = date(2026, 11, 25)


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def row(*days_ago: int) -> int:
    return len(streak([ago(days) for days in days_ago], TODAY))


@pytest.mark.parametrize(
    ("practised", "days"),
    [
        ((), 0),
        ((0,), 1),
        ((0, 1, 2), 3),
        ((1, 2), 2),  # today is not over
        ((0, 2, 3), 3),  # one day off
        ((0, 3, 4), 1),  # two days off
        ((0, 2, 4), 2),  # two days off in one week
        ((0, 2, 3, 4, 5, 6, 7, 8, 10), 9),  # a day off in each of two weeks
        ((0, 2, 3, 4, 5, 6, 7, 9), 8),  # the same day of the week off, twice
        ((2, 3), 2),  # yesterday was the day off
        ((3, 4), 0),
    ],
)
def test_a_row_of_days(practised, days):
    assert row(*practised) == days


def test_a_day_off_differs_from_a_day_with_practice():
    assert streak([ago(0), ago(2)], TODAY).forgiven == [ago(1)]


def by_hand(practised: set[date]) -> int:
    """Every way to go back from today, a day at a time; the longest that breaks no rule."""
    best, days, missed = 0, [], []
    for back in range(60):
        day = ago(back)
        if day in practised:
            days.append(day)
            best = len(days)
        elif back == 0:
            continue
        else:
            missed.append(day)
            if any((a - b).days < 7 for a, b in pairwise(missed)):
                break
    return best


@given(st.sets(st.integers(0, 40).map(ago)))
def test_as_counted_by_hand(practised):
    assert len(streak(practised, TODAY)) == by_hand(practised)


@given(st.sets(st.integers(0, 40).map(ago)))
def test_in_any_seven_days_of_it_at_most_one_was_missed(practised):
    found = streak(practised, TODAY)
    for day in found.forgiven:
        week = {day + timedelta(days=n) for n in range(7)}
        assert week & set(found.forgiven) == {day}
