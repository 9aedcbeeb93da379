"""The teacher's first page."""

import pytest
from django.urls import reverse

from assignments.days import DAY, today_in
from studio.models import SignInLink
from tests import cast
from tests.assignments.making import give, logged
from tests.assignments.pages import text

pytestmark = pytest.mark.django_db
ROSTER = reverse("assignments:roster")


def test_signing_in_leads_to_it(teacher_client):
    assert teacher_client.get(reverse("studio:home")).url == ROSTER


def test_a_student_is_a_row(teacher_client, student):
    give(student, 3)
    SignInLink.issue(student)
    logged(student, "7.5", today_in(student.studio))
    page = text(teacher_client.get(ROSTER))
    assert f'<a href="{reverse("assignments:student", args=[student.pk])}">Mira</a>' in page
    assert "7.5 min" in page
    assert '<span class="figure">0</span> of <span class="figure">3</span>' in page


def test_the_bars_say_their_numbers_in_words(teacher_client, student):
    today = today_in(student.studio)
    logged(student, 5, today)
    page = text(teacher_client.get(ROSTER))
    assert f"{today:%A} 5</desc>" in page
    assert f"{today - DAY:%A} 0, " in page


def test_the_bars_have_a_role_and_a_title(teacher_client, student):
    page = text(teacher_client.get(ROSTER))
    assert 'role="img" aria-labelledby="week-' in page
    assert ">Minutes of the last seven days</title>" in page


def test_what_is_to_do_leads_to_where_it_is_done(teacher_client, student):
    page = text(teacher_client.get(ROSTER))
    assert f"{reverse('assignments:assign')}?students={student.pk}" in page


def test_a_student_without_a_link_is_led_to_one(teacher_client, student):
    give(student)
    assert reverse("studio:links", args=[student.pk]) in text(teacher_client.get(ROSTER))


def test_without_students_the_one_next_step_is_to_add_one(teacher_client):
    page = text(teacher_client.get(ROSTER))
    assert reverse("studio:student-add") in page
    assert "<table" not in page


def test_students_of_other_studios_are_not_on_it(teacher_client, other_student):
    assert "Tariq" not in text(teacher_client.get(ROSTER))


def test_a_nickname_is_shown_as_it_is_typed(teacher_client, studio):
    cast.add_student(studio, "<b>Bo</b>")
    assert "&lt;b&gt;Bo&lt;/b&gt;" in text(teacher_client.get(ROSTER))


@pytest.mark.parametrize("number", [1, 12])
def test_asks_the_database_as_often_for_any_number_of_students(
    teacher_client, studio, number, django_assert_num_queries
):
    for n in range(number):
        student = cast.add_student(studio, f"Student {n}", lesson_weekday=n % 7)
        give(student, 2)
        logged(student, 5, today_in(studio))
    # Session, teacher, studio; students, minutes, last days, tallies; takes, rules, ways out.
    with django_assert_num_queries(10):
        teacher_client.get(ROSTER)
