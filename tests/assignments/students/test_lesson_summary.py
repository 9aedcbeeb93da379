"""What a teacher should know before the lesson begins."""

from datetime import date, datetime, timedelta

import pytest

from assignments.days import today_in
from assignments.fill_queries import fills_of
from assignments.models import AssignedVariation
from assignments.practice.practice_log import confirm, take_back
from assignments.students.lesson_summary import SinceLesson
from tests.assignments.making import first_fill, give, logged

pytestmark = pytest.mark.django_db
WEDNESDAY = date(2026, 11, 25)  # the day of Mira's lesson
LAST_LESSON = date(2026, 11, 18)


def sentences(student) -> list[str]:
    return SinceLesson(student, WEDNESDAY, list(fills_of(student))).sentences()


def master(student, *positions: int, on: date = WEDNESDAY) -> None:
    zone = student.studio.zone
    moment = datetime(on.year, on.month, on.day, 0, 30, tzinfo=zone)
    theirs = AssignedVariation.objects.filter(assignment__student=student)
    theirs.filter(position__in=positions).update(mastered_at=moment)


def test_no_practice_stands_in_plain_words(student):
    give(student)
    assert sentences(student) == ["No practice."]


def test_days_and_minutes_are_summed(student):
    logged(student, 5, WEDNESDAY)
    logged(student, "2.5", WEDNESDAY)
    logged(student, 5, LAST_LESSON)
    assert sentences(student) == ["Practised on 2 days, 12.5 min in all."]


def test_one_day_is_one_day(student):
    logged(student, 5, WEDNESDAY)
    assert sentences(student) == ["Practised on 1 day, 5 min in all."]


def test_what_was_before_the_last_lesson_does_not_count(student):
    logged(student, 5, LAST_LESSON - timedelta(days=1))
    assert sentences(student) == ["No practice."]


def test_what_was_mastered_is_named(student):
    first, _, third = give(student, 3).variations.order_by("position")
    master(student, 1, 3)
    assert f"Mastered {first} and {third}." in sentences(student)


def test_many_mastered_fills_are_counted(student):
    give(student, 5)
    master(student, 1, 2, 3, 4)
    assert "Mastered 4 fills." in sentences(student)


def test_what_was_mastered_before_is_not_news(student):
    give(student, 3)
    master(student, 1, on=LAST_LESSON - timedelta(days=1))
    assert not any(one.startswith("Mastered") for one in sentences(student))


def test_mastered_on_the_day_of_the_last_lesson_counts_by_the_studios_clock(student):
    """Half past midnight in Berlin is still the day before in UTC."""
    fill = first_fill(give(student, 3))
    master(student, 1, on=LAST_LESSON)
    assert f"Mastered {fill}." in sentences(student)


def test_what_holds_now_and_what_came_back_is_named(student, teacher):
    first, second, _ = give(student, 3).variations.order_by("position")
    for fill in (first, second):
        fill.record_step("mastered", LAST_LESSON - timedelta(days=7))
    confirm(first, teacher)
    take_back(second, teacher)
    today = today_in(student.studio)
    since = SinceLesson(student, today, list(fills_of(student))).sentences()
    assert f"Holds now: {first}." in since
    assert f"Came back: {second}." in since


def test_that_something_hurt_comes_first(student):
    logged(student, 5, WEDNESDAY - timedelta(days=2), felt="sore")
    logged(student, 5, WEDNESDAY, felt="easy")
    first, *_ = sentences(student)
    assert first == "Something hurt on 23 November."


def test_the_fill_that_took_most_time_is_named(student):
    first, second, _ = give(student, 3).variations.order_by("position")
    logged(student, 5, WEDNESDAY, first)
    logged(student, 5, WEDNESDAY, second)
    logged(student, 2, LAST_LESSON, second)
    assert f"Most time went to {second}: 7 min." in sentences(student)


def test_what_lies_still_is_counted(student):
    first, *_ = give(student, 3).variations.order_by("position")
    logged(student, 5, WEDNESDAY, first)
    assert sentences(student)[-1] == "Not played: 2 of the 3 not mastered."
