"""Days by the clock of the studio, from lesson to lesson."""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assignments.days import days_up_to, last_lesson, next_lesson, today_in
from studio.models import Student, Studio

WEDNESDAY = date(2026, 11, 25)


def at(monkeypatch, moment: datetime) -> None:
    monkeypatch.setattr("django.utils.timezone.now", lambda: moment)


@pytest.mark.parametrize(
    ("zone", "day"),
    [
        ("UTC", date(2026, 11, 24)),
        ("Europe/Berlin", date(2026, 11, 25)),
        ("Pacific/Auckland", date(2026, 11, 25)),
        ("America/Los_Angeles", date(2026, 11, 24)),
    ],
)
def test_the_day_is_the_studios(monkeypatch, zone, day):
    at(monkeypatch, datetime(2026, 11, 24, 23, 30, tzinfo=UTC))
    assert today_in(Studio(timezone=zone)) == day


def test_seven_days_end_with_today():
    days = days_up_to(WEDNESDAY, 7)
    assert (days[0], days[-1], len(days)) == (date(2026, 11, 19), WEDNESDAY, 7)


def test_the_next_lesson_is_the_coming_weekday():
    assert next_lesson(Student(lesson_weekday=4), WEDNESDAY) == date(2026, 11, 27)


def test_a_lesson_today_is_the_next_one():
    assert next_lesson(Student(lesson_weekday=2), WEDNESDAY) == WEDNESDAY


def test_on_the_day_of_a_lesson_the_last_one_is_a_week_ago():
    assert last_lesson(Student(lesson_weekday=2), WEDNESDAY) == date(2026, 11, 18)


def test_without_a_fixed_day_there_is_no_next_lesson():
    assert next_lesson(Student(lesson_weekday=None), WEDNESDAY) is None


def test_without_a_fixed_day_the_last_week_is_shown():
    assert last_lesson(Student(lesson_weekday=None), WEDNESDAY) == date(2026, 11, 18)


@given(today=st.dates(date(2000, 1, 10), date(2100, 1, 1)), weekday=st.integers(0, 6))
def test_lessons_are_a_week_apart_on_their_weekday(today, weekday):
    student = Student(lesson_weekday=weekday)
    last, upcoming = last_lesson(student, today), next_lesson(student, today)
    assert upcoming - last == timedelta(days=7)
    assert last < today <= upcoming
    assert upcoming.weekday() == weekday
