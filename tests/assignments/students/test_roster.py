"""The roster: who needs the teacher, why, and in which order."""

from datetime import date, timedelta

import pytest

from assignments.days import today_in
from assignments.practice.practice_log import mark_mastered
from assignments.students.roster import roster_of
from studio.models import SignInLink
from tests import cast
from tests.assignments.comfort_making import walks
from tests.assignments.making import give, logged

pytestmark = pytest.mark.django_db
WEDNESDAY = date(2026, 11, 25)


def row_of(student, day=WEDNESDAY):
    rows = roster_of(student.studio, day)
    return next(row for row in rows if row.student == student)


def sentence(student) -> str:
    need = row_of(student).need
    return need.sentence if need else ""


@pytest.fixture
def linked(student):
    SignInLink.issue(student)
    return student


def practised(student, days_ago: int) -> None:
    logged(student, 5, WEDNESDAY - timedelta(days=days_ago))


def test_a_student_without_fills_needs_some(linked):
    assert sentence(linked) == "Nothing assigned yet."


def test_a_student_without_a_link_needs_one(student):
    give(student)
    assert sentence(student) == "Cannot sign in: no link yet."


def test_a_student_who_never_practised_is_named(linked):
    give(linked)
    assert sentence(linked) == "Has not practised yet."


@pytest.mark.parametrize(
    ("days", "expected"), [(7, "No practice for 7 days."), (12, "No practice for 12 days.")]
)
def test_a_student_who_stopped_practising_is_named(linked, days, expected):
    give(linked)
    practised(linked, days)
    assert sentence(linked) == expected


def test_a_student_who_practises_needs_nothing(linked):
    give(linked)
    practised(linked, 6)
    assert row_of(linked).need is None


def test_a_student_who_mastered_all_needs_new_ones(linked):
    for variation in give(linked, 2).variations.all():
        mark_mastered(variation)
    practised(linked, 1)
    assert sentence(linked) == "All 2 are mastered."


def test_minutes_of_the_last_seven_days(linked):
    practised(linked, 0)
    practised(linked, 6)
    practised(linked, 7)
    assert row_of(linked).standing.minutes == (5, 0, 0, 0, 0, 0, 5)


def test_the_next_lesson_is_shown(linked):
    assert row_of(linked).next_lesson_text == "today"


def test_who_needs_the_teacher_comes_first(studio, linked, classmate):
    give(linked)
    practised(linked, 1)
    assert [row.student for row in roster_of(studio, WEDNESDAY)] == [classmate, linked]


def test_among_the_others_the_next_lesson_comes_first(studio):
    for name, weekday in (("Ada", 4), ("Ben", None), ("Cleo", 2), ("Dan", 3)):
        student = cast.add_student(studio, name, lesson_weekday=weekday)
        SignInLink.issue(student)
        give(student)
        practised(student, 1)
    names = [row.student.nickname for row in roster_of(studio, WEDNESDAY)]
    assert names == ["Cleo", "Dan", "Ada", "Ben"]


def test_students_of_other_studios_and_removed_ones_are_not_on_it(studio, student, other_student):
    student.remove()
    assert roster_of(studio, WEDNESDAY) == []


def test_a_student_who_practises_and_keeps_to_the_same_needs_a_way_out(linked):
    """On the day it is: the worker looks at takes from today's side."""
    today = today_in(linked.studio)
    give(linked)
    logged(linked, 5, today)
    walks(linked, today)
    need = row_of(linked, today).need
    assert need.sentence == "All fills are one and the same, or nearly."
    assert need.page == "assignments:way-out"


def test_that_a_student_stopped_practising_comes_first(linked):
    give(linked)
    practised(linked, 8)
    walks(linked, WEDNESDAY - timedelta(days=8))
    assert sentence(linked) == "No practice for 8 days."
