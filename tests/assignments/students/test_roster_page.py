"""The teacher's first page."""

import pytest
from django.urls import reverse

from assignments.days import DAY, today_in
from studio.models import SignInLink
from tests import cast
from tests.assignments.making import give, give_all, logged
from tests.assignments.pages import text

pytestmark = pytest.mark.django_db
ROSTER = reverse("assignments:roster")
REMOVED = reverse("studio:removed")


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


def names_on(response) -> list[str]:
    return [row.student.nickname for row in response.context["page"]]


@pytest.fixture
def many(studio):
    """A page and a half; number 25 has the most urgent need: nothing is assigned."""
    students = [cast.add_student(studio, f"Number {at:02}") for at in range(30)]
    others = [student for student in students if student.nickname != "Number 25"]
    give_all(others, 1)
    for student in others:
        SignInLink.issue(student)
        logged(student, 5, today_in(studio))


def test_who_needs_the_teacher_first_is_on_the_first_page(teacher_client, many):
    assert names_on(teacher_client.get(ROSTER))[0] == "Number 25"


def test_every_student_is_on_one_of_the_pages(teacher_client, many):
    pages = [names_on(teacher_client.get(ROSTER, {"page": number})) for number in (1, 2)]
    assert [len(page) for page in pages] == [20, 10]
    assert sorted([*pages[0], *pages[1]]) == [f"Number {at:02}" for at in range(30)]


def test_a_student_is_found_by_a_part_of_the_nickname(teacher_client, many):
    assert sorted(names_on(teacher_client.get(ROSTER, {"q": "number 1"}))) == [
        f"Number 1{at}" for at in range(10)
    ]


def test_a_search_says_how_many_were_found_on_all_pages_together(teacher_client, many):
    page = text(teacher_client.get(ROSTER, {"q": "number"}))
    assert '<span class="figure">30</span> students with “number” in the nickname.' in page


def test_where_nobody_is_found_the_page_leads_to_those_who_were_removed(teacher_client, student):
    page = text(teacher_client.get(ROSTER, {"q": "Zoe"}))
    assert f'Try fewer letters; what you removed is under <a href="{REMOVED}">' in page


def test_where_nobody_is_found_the_page_says_so_and_keeps_what_was_typed(teacher_client, student):
    page = text(teacher_client.get(ROSTER, {"q": "<Zoe>"}))
    assert "No student has “&lt;Zoe&gt;” in their nickname." in page
    assert 'value="&lt;Zoe&gt;"' in page


def test_the_next_page_keeps_what_is_looked_for(teacher_client, many):
    page = text(teacher_client.get(ROSTER, {"q": "number"}))
    assert 'href="?q=number&amp;page=2"' in page
