"""Progress for the teacher: charts with their numbers beside them."""

import re

import pytest
from django.urls import reverse

from assignments.days import DAY
from assignments.practice.practice_log import mark_mastered
from tests import cast
from tests.assignments.making import first_fill, give, logged
from tests.assignments.pages import text

pytestmark = pytest.mark.django_db
PROGRESS = reverse("assignments:progress")


def of(student) -> str:
    return reverse("assignments:student-progress", args=[student.pk])


def numbers(page: str, heading: str) -> list[str]:
    """The table beside the chart under this heading."""
    section = page[page.index(f">{heading}</h2>") :]
    return re.findall(r'<td class="number">([\d.]+)</td>', section.split("</table>")[0])


def test_the_studios_minutes_are_summed(teacher_client, student, classmate, day):
    logged(student, 5, day)
    logged(classmate, "2.5", day)
    logged(student, 4, day - DAY)
    page = text(teacher_client.get(PROGRESS))
    assert numbers(page, "Minutes a day")[-2:] == ["4", "7.5"]
    assert '<span class="figure">11.5 min</span> of practice' in page


def test_one_students_page_counts_them_alone(teacher_client, student, classmate, day):
    logged(student, 5, day)
    logged(classmate, 9, day)
    assert numbers(text(teacher_client.get(of(student))), "Minutes a day")[-1] == "5"


def test_mastered_fills_add_up(teacher_client, student):
    mark_mastered(first_fill(give(student)))
    found = numbers(text(teacher_client.get(PROGRESS)), "Fills mastered so far")
    assert (found[0], found[-1], len(found)) == ("0", "1", 28)


def test_each_student_has_a_row(teacher_client, student, classmate, day):
    give(student)
    logged(student, 5, day - DAY)
    page = text(teacher_client.get(PROGRESS))
    row = page[page.index(of(student)) :].split("</tr>")[0]
    assert ">5</td>" in row
    assert "1 of 28" in row
    assert "yesterday" in row
    assert '<span class="figure">0</span> of <span class="figure">3</span>' in row


def test_a_student_is_found_by_a_part_of_the_nickname(teacher_client, student, classmate):
    answer = teacher_client.get(PROGRESS, {"q": str(student)[1:].upper()})
    assert [standing.student for standing in answer.context["standings"]] == [student]


def test_the_charts_stay_those_of_the_whole_studio(teacher_client, student, classmate, day):
    logged(student, 5, day)
    logged(classmate, 4, day)
    page = text(teacher_client.get(PROGRESS, {"q": str(student)}))
    assert numbers(page, "Minutes a day")[-1] == "9"


def test_where_nobody_is_found_the_page_says_so_and_keeps_what_was_typed(teacher_client, student):
    page = text(teacher_client.get(PROGRESS, {"q": "<Zoe>"}))
    assert "No student has “&lt;Zoe&gt;” in their nickname." in page
    assert 'value="&lt;Zoe&gt;"' in page
    assert reverse("studio:student-add") not in page


@pytest.mark.parametrize("name", ["minutes", "mastered"])
def test_a_chart_has_a_role_a_title_and_a_description(teacher_client, student, name):
    page = text(teacher_client.get(PROGRESS))
    assert f'role="img" aria-labelledby="{name}-title {name}-desc"' in page
    assert f'<title id="{name}-title">' in page
    assert f'<desc id="{name}-desc">' in page


def test_students_of_other_studios_do_not_count(teacher_client, student, other_student, day):
    logged(other_student, 50, day)
    assert '<span class="figure">0 min</span>' in text(teacher_client.get(PROGRESS))


def test_without_students_it_says_what_it_is_for(teacher_client):
    assert reverse("studio:student-add") in text(teacher_client.get(PROGRESS))


@pytest.mark.parametrize("number", [1, 12])
def test_asks_the_database_as_often_for_any_number_of_students(
    teacher_client, studio, day, number, django_assert_num_queries
):
    for n in range(number):
        student = cast.add_student(studio, f"Student {n}")
        give(student, 1)
        logged(student, 5, day)
    # Session, teacher, studio; students and their number; minutes of all, mastered by all; of
    # those shown minutes, last days, tallies.
    with django_assert_num_queries(10):
        teacher_client.get(PROGRESS)
