"""What a take may be of: the fills that a page offers, of the many that a student has."""

import re

import pytest

from assignments.practice.practice_log import mark_mastered
from tests.assignments.making import give
from tests.assignments.pages import address, text

pytestmark = pytest.mark.django_db


@pytest.fixture
def many_fills(student, monkeypatch):
    """More fills than a select offers: one mastered, one open, one more mastered."""
    monkeypatch.setattr("assignments.fill_queries.MOST_TO_CHOOSE", 2)
    fills = list(give(student, 3).variations.order_by("position"))
    for fill in (fills[0], fills[2]):
        mark_mastered(fill)
    return fills


def offered(page: str) -> list[int]:
    return [int(pk) for pk in re.findall(r'<option value="(\d+)"', page)]


@pytest.mark.parametrize("who", ["student", "teacher"])
def test_of_many_fills_those_not_mastered_and_the_latest_mastered_are_offered(
    student_client, teacher_client, student, many_fills, who
):
    old, still_open, latest = many_fills
    page = {
        "student": lambda query: student_client.get(address("take-upload") + query),
        "teacher": lambda query: teacher_client.get(address("lesson-take", student.pk) + query),
    }[who]
    assert offered(text(page(""))) == [still_open.pk, latest.pk]
    assert offered(text(page(f"?fill={old.pk}"))) == [old.pk, still_open.pk, latest.pk]
