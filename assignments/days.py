"""Days as a student lives them: by the clock of their studio, from lesson to lesson."""

from collections.abc import Iterator
from datetime import date, timedelta

from django.utils import timezone

from studio.models import Student, Studio

DAY = timedelta(days=1)
WEEK = 7


def today_in(studio: Studio) -> date:
    """Return the day it is now in the studio."""
    return timezone.localdate(timezone=studio.zone)


def days_up_to(last: date, count: int) -> list[date]:
    """Return the `count` days that end with `last`, in order."""
    return list(_days(last - (count - 1) * DAY, last))


def _days(first: date, last: date) -> Iterator[date]:
    while first <= last:
        yield first
        first += DAY


def next_lesson(student: Student, today: date) -> date | None:
    """Return the day of the student's next lesson, `today` included; None without a fixed day."""
    if student.lesson_weekday is None:
        return None
    return today + ((student.lesson_weekday - today.weekday()) % WEEK) * DAY


def last_lesson(student: Student, today: date) -> date:
    """Return the day of the lesson before `today`; a week ago where no day is fixed.

    On the day of a lesson it is the one a week ago: what was practised since is its subject.
    """
    upcoming = next_lesson(student, today)
    return (upcoming or today) - WEEK * DAY
