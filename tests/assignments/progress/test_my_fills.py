"""My fills: what is in hand, what is mastered, and what has changed."""

from datetime import UTC, date, datetime

import pytest
from django.urls import reverse

from assignments.days import today_in
from assignments.fill_queries import fills_of
from assignments.models import Assignment
from assignments.practice.practice_log import mark_mastered
from assignments.progress.fill_gathering import MANY, how_many
from tests.assignments.making import give, logged, make_bar
from tests.assignments.pages import address, text

pytestmark = pytest.mark.django_db
FILLS = reverse("assignments:my-fills")


@pytest.fixture
def page(student_client):
    return lambda query="": text(student_client.get(FILLS + query))


def test_what_is_not_mastered_stands_in_rows_and_the_rest_by_state(page, student):
    _, practised, mastered = give(student, 3).variations.order_by("position")
    logged(student, 5, today_in(student.studio), practised)
    mark_mastered(mastered)
    now, kept = page().split('id="mastered"')
    states = [now.index(f"state-{state}") for state in ("new", "practising")]
    assert states == sorted(states)
    assert "state-mastered" in kept
    assert "state-mastered" not in now


def test_each_has_number_picture_name_and_bar_and_can_be_heard(page, student):
    fill = give(student, 1).variations.get()
    html = page()
    assert f"<title>{fill}</title>" in html
    assert f'<a class="fill-name" href="{address("fill", fill)}">' in html
    assert '<p class="fill-bar">Line 4</p>' in html
    assert f'data-hear-from="{address("heard", fill)}"' in html


def test_says_how_many_there_are_and_what_is_new(student, studio):
    old = give(student, 3)
    Assignment.objects.filter(pk=old.pk).update(created_at=datetime(2026, 5, 3, 12, tzinfo=UTC))
    give(student, 2, bar=make_bar(studio, "1 e 2 e 3 e 4 e", "Line 5"))
    Assignment.objects.exclude(pk=old.pk).update(created_at=datetime(2026, 9, 3, 12, tzinfo=UTC))
    mark_mastered(old.variations.first())
    fills = list(fills_of(student))
    said = how_many(fills, date(2026, 11, 25), student)
    assert said == "5 fills, 2 new since September. 1 mastered."
    assert how_many(fills, date(2027, 1, 25), student) == "5 fills. 1 mastered."


def test_without_fills_it_says_what_it_is_for(page):
    assert "Your fills gather here" in page()


def test_a_classmates_fills_are_not_there(classmate_client, assignment):
    assert "Line 4" not in text(classmate_client.get(FILLS))


def test_few_fills_need_no_search(page, student):
    give(student, MANY - 1)
    assert 'role="search"' not in page()


def test_many_are_found_by_name_and_by_bar(page, student, studio):
    give(student, MANY)
    other = give(student, 1, bar=make_bar(studio, "1 e 2 e 3 e 4 e", "Odd one")).variations.get()
    assert 'role="search"' in page()
    assert page("?q=odd").count('class="fill-name"') == 1
    assert address("fill", other) in page(f"?q={other.name}")
    assert "No fill has “zzz”" in page("?q=zzz")


@pytest.mark.parametrize("name", ["takes", "my-log", "my-progress", "record", "about-me"])
def test_what_else_there_is_is_reached_from_it(page, assignment, name):
    assert f'href="{address(name)}"' in page()


def test_asks_as_often_for_many_fills_as_for_few(
    student_client, student, django_assert_num_queries
):
    def queries(number: int):
        give(student, number, seed=number)
        for fill in fills_of(student)[:number]:
            logged(student, 1, today_in(student.studio), fill, tempo=80)
        student_client.get(FILLS)  # asks for pictures that a list has not asked for yet
        # Session, link with student and studio; fills, pictures, minutes, takes, entries and
        # their fills.
        with django_assert_num_queries(8):
            student_client.get(FILLS)

    queries(2)
    queries(15)


def test_the_navigation_of_a_student_has_two_pages(student_client):
    for name in ("my-fills", "my-log", "my-progress", "takes"):
        navigation = student_client.get(address(name)).context["navigation"]
        assert [(label, current) for label, _, current in navigation] == [
            ("Today", False),
            ("My fills", True),
        ]
