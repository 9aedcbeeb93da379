"""Four weeks in a calendar."""

from datetime import date
from decimal import Decimal

import pytest

from assignments.progress.practice_calendar import strip

WEDNESDAY = date(2026, 11, 25)


def cell(minutes, day: date = WEDNESDAY):
    weeks = strip({day: Decimal(minutes)}, WEDNESDAY)
    return next(cell for week in weeks for cell in week if cell.day == day)


def test_weeks_begin_on_monday_and_this_one_is_the_last():
    weeks = strip({}, WEDNESDAY)
    assert [week[0].day for week in weeks] == [
        date(2026, 11, 2),
        date(2026, 11, 9),
        date(2026, 11, 16),
        date(2026, 11, 23),
    ]
    assert {len(week) for week in weeks} == {7}


def test_a_day_has_its_minutes():
    assert cell("7.5").minutes == Decimal("7.5")


def test_a_day_without_practice_has_none_done():
    assert cell(5, date(2026, 11, 24)).minutes == 5
    assert strip({}, WEDNESDAY)[-1][2].minutes == 0


def test_a_day_to_come_has_no_number():
    assert strip({}, WEDNESDAY)[-1][3].minutes is None


@pytest.mark.parametrize(
    ("minutes", "shade"),
    [("0", 0), ("1", 1), ("4.9", 1), ("5", 2), ("10", 3), ("20", 4), ("180", 4)],
)
def test_more_minutes_are_a_darker_shade(minutes, shade):
    assert cell(minutes).shade == shade
