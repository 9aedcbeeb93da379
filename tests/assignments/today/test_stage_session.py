"""What the stage plays: the day's plan on Today, one fill on its page."""

import pytest
from django.urls import reverse

from assignments.days import DAY
from tests.assignments.making import first_fill, give, logged
from tests.assignments.pages import address

pytestmark = pytest.mark.django_db
TODAY = reverse("assignments:today")


@pytest.fixture
def session(student_client):
    return lambda **asked: student_client.get(TODAY, asked).context["stage"].session


def test_it_plays_what_today_says(session, student_client, student):
    give(student, 3)
    lines = student_client.get(TODAY).context["today"].lines
    assert [(item["block"], item["tempo"], item["loops"]) for item in session()["items"]] == [
        (line.fill.pk, line.item.tempo, line.item.loops) for line in lines
    ]


def test_every_item_has_its_block_and_its_drawings(session, student):
    give(student, 3, block_bars=8)
    answer = session()
    assert {item["block"] for item in answer["items"]} == set(answer["blocks"])
    assert set(answer["shown"]) == set(answer["blocks"])
    assert {block["bars"] for block in answer["blocks"].values()} == {8}


def test_the_groove_alone_is_no_practice_of_the_fill(session, student):
    give(student, 1)
    groove, fill = session()["items"]
    assert (groove["grooveAlone"], groove["variation"]) == (True, None)
    assert (fill["grooveAlone"], fill["variation"]) == (False, fill["block"])


def test_what_was_played_today_is_not_played_again(session, student, day):
    fill = first_fill(give(student, 1))
    logged(student, 5, day, fill)
    assert [item["done"] for item in session()["items"]] == [False, True]


def test_a_mastered_fill_comes_as_a_recheck_another_day(session, student, day):
    fill = first_fill(give(student, 1))
    fill.record_step("mastered", day - DAY)
    assert [item["title"] for item in session()["items"] if item["recheck"]] == [
        "Does it hold? Played cold"
    ]


def test_without_fills_there_is_no_stage(student_client):
    assert "data-stage" not in student_client.get(TODAY).content.decode()


def test_on_its_page_a_fill_is_played_four_times_at_the_tempo_that_was_asked_for(
    student_client, student
):
    fill = first_fill(give(student, 1, tempo=88))
    [item] = student_client.get(address("fill", fill)).context["stage"].session["items"]
    assert (item["variation"], item["tempo"], item["loops"]) == (fill.pk, 88, 4)
