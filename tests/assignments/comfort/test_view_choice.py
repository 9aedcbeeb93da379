"""What of a student's takes is looked at: a groove, a range of tempos, since when."""

import re
from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from assignments.blocks import GrooveChoice
from assignments.comfort.played_with import PlayedWith, takes_played
from assignments.days import today_in
from assignments.models import KeptZone
from rhythms.engine.comfort import FEWEST, playing
from rhythms.engine.takes.groove_heard import OTHER_GROOVE
from tests.assignments.comfort_making import DAY, anything, look_at, take_of, walk_down, walks
from tests.assignments.making import give, make_groove

pytestmark = pytest.mark.django_db

ALL_ON_ONE = "All fills are one and the same, or nearly."


@pytest.fixture
def today(studio):
    return today_in(studio)


@pytest.fixture
def two_grooves(student, today):
    """Ten takes of one fill in funk at 96, ten of the same walk in rock at 120; looked at."""
    for number in range(10):
        in_funk = {"groove_heard": "funk", "tempo": 96}
        take_of(student, today - number * DAY, [walk_down()] * 2, **in_funk)
        in_rock = {"groove_heard": "rock", "tempo": 120}
        take_of(student, today - (number + 20) * DAY, [walk_down()] * 2, **in_rock)
    look_at(student)
    return student


def read(client, student, **asked) -> str:
    url = reverse("assignments:student-comfort", args=[student.pk])
    response = client.get(url, asked)
    assert response.status_code == 200
    return re.sub(r"\s+", " ", response.content.decode())


def played(student, today, **details) -> PlayedWith:
    take_of(student, today, [walk_down()], **details)
    (found,) = takes_played(student, today, today)
    return found


# --- with what a take was played -----------------------------------------------------


def test_a_free_take_has_the_groove_that_was_heard_with_its_style(student, today):
    take = played(student, today, groove_heard="half-time")
    assert (take.groove, take.style) == ("half-time", "rock")


def test_what_was_said_goes_before_what_was_heard(student, today):
    take = played(student, today, groove_heard="half-time", said_groove="funk")
    assert (take.groove, take.style) == ("funk", "funk")


def test_a_style_that_was_said_needs_no_groove(student, today):
    take = played(student, today, groove_heard="half-time", said_style="soul")
    assert (take.groove, take.style) == ("", "soul")


def test_a_groove_of_the_studio_has_the_style_it_is_kept_with(student, today):
    make_groove(student.studio, "Tuesday", style="soul")
    assert played(student, today, groove_heard="Tuesday").style == "soul"


def test_a_take_of_an_assigned_fill_has_the_groove_of_its_assignment(student, today):
    variation = give(student, 1, groove=GrooveChoice("disco")).variations.get()
    take = played(student, today, variation=variation, groove_heard="funk")
    assert (take.groove, take.style) == ("disco", "disco")


def test_where_nobody_chose_a_groove_it_is_the_first_of_the_meter(student, today):
    assert played(student, today, variation=give(student, 1).variations.get()).groove == "rock"


OF_THE_FILE = {"grid": {"known": "file", "tempo": 95.0}}
ESTIMATED = {"grid": {"known": "estimated", "tempo": 188.6}}


@pytest.mark.parametrize(
    ("details", "tempo"),
    [
        ({"said_tempo": 84, "tempo": 90}, 84),
        ({"tempo": 90, "analysis": {"grid": {"tempo": 100.4}}}, 90),
        ({"analysis": {"grid": {"tempo": 100.4}}}, 100),
        ({"analysis": {"grid": None}}, None),
        ({"said_tempo": 190, "tempo": 95, "analysis": OF_THE_FILE}, 95),
        ({"said_tempo": 190, "tempo": 95, "analysis": ESTIMATED}, 190),
        ({}, None),
    ],
)
def test_the_tempo_is_what_its_page_shows_or_what_was_made_out(student, today, details, tempo):
    assert played(student, today, **details).tempo == tempo


# --- what is mixed -------------------------------------------------------------------


def test_without_a_choice_the_page_says_what_is_mixed(teacher_client, two_grooves):
    assert "All of it: 2 grooves, 96 to 120." in read(teacher_client, two_grooves)


def test_a_single_groove_is_named(teacher_client, student, today):
    take_of(student, today, [walk_down()], groove_heard="bossa nova", tempo=120)
    assert "All of it: bossa nova, at 120." in read(teacher_client, student)


def test_takes_without_a_groove_are_counted_apart(teacher_client, student, today):
    take_of(student, today, [walk_down()], groove_heard="funk")
    take_of(student, today, [walk_down()], groove_heard=OTHER_GROOVE)
    take_of(student, today, [walk_down()])
    assert "All of it: 2 grooves, 1 take without a groove." in read(teacher_client, student)


# --- a part of it --------------------------------------------------------------------


def test_a_groove_is_looked_at_by_itself(teacher_client, two_grooves):
    page = read(teacher_client, two_grooves, groove="groove funk")
    assert "Funk: 10 of 20 takes." in page
    assert "Rests on 10 takes with 20 fills of the last six weeks" in page


def test_a_groove_says_what_is_so_in_it_alone(teacher_client, student, today, random_fills):
    """In funk always one fill, in rock anything: over all nothing is one and the same."""
    for number, fill in enumerate(random_fills):
        take_of(student, today - number * DAY, [fill], groove_heard="rock")
        take_of(student, today - number * DAY, [walk_down()], groove_heard="funk")
    look_at(student)
    assert ALL_ON_ONE not in read(teacher_client, student)
    assert ALL_ON_ONE not in read(teacher_client, student, groove="groove rock")
    assert ALL_ON_ONE in read(teacher_client, student, groove="groove funk")


@pytest.fixture
def random_fills(student):
    from random import Random

    random = Random(1)
    return [anything(student, random) for _ in range(12)]


def test_takes_of_one_style_are_one_choice(teacher_client, student, today):
    for groove in ("rock", "half-time", "16th rock"):
        for number in range(3):
            take_of(student, today - number * DAY, [walk_down()], groove_heard=groove)
    page = read(teacher_client, student, groove="style rock")
    assert '<option value="style rock" selected>Rock: 9 takes</option>' in page
    assert "Rock: 9 of 9 takes." in page


def test_a_style_of_one_groove_is_no_choice_of_its_own(teacher_client, two_grooves):
    assert 'value="style ' not in read(teacher_client, two_grooves)


def test_takes_without_a_groove_are_a_choice(teacher_client, student, today):
    walks(student, today)
    assert "No groove: 10 of 10 takes." in read(teacher_client, student, groove="none")


@pytest.mark.parametrize(
    ("asked", "takes"),
    [
        ({"slowest": 100}, 10),
        ({"fastest": 100}, 10),
        ({"slowest": 96, "fastest": 120}, 20),
        ({"slowest": 97, "fastest": 119}, 0),
    ],
)
def test_a_range_of_tempos_is_looked_at_by_itself(teacher_client, two_grooves, asked, takes):
    assert f"{takes} of 20 takes." in read(teacher_client, two_grooves, **asked)


def test_a_take_whose_tempo_nobody_knows_is_in_no_range(teacher_client, student, today):
    take_of(student, today, [walk_down()])
    assert "0 of 1 take." in read(teacher_client, student, slowest=30)


def test_since_a_day_is_looked_at_by_itself(teacher_client, two_grooves, today):
    since = today - 9 * DAY
    page = read(teacher_client, two_grooves, since=since.isoformat())
    assert f"since {since:%-d %B}" in page.replace("Since", "since")
    assert "Rests on 10 takes" in page


def test_since_may_be_longer_ago_than_six_weeks(teacher_client, student, today):
    walks(student, today - 60 * DAY, takes=8, every=1)
    since = today - 100 * DAY
    page = read(teacher_client, student, since=since.isoformat())
    assert "Rests on 8 takes" in page


def test_a_choice_is_not_kept(teacher_client, two_grooves):
    before = KeptZone.objects.values().get()
    read(teacher_client, two_grooves, groove="groove funk")
    assert KeptZone.objects.values().get() == before


def test_what_is_of_all_weeks_is_not_said_of_a_part(teacher_client, two_grooves):
    page = read(teacher_client, two_grooves, groove="groove funk")
    assert "Over the weeks" not in page
    assert "against the three before" not in page


def test_below_the_least_number_of_takes_there_is_the_way_back(teacher_client, two_grooves):
    page = read(
        teacher_client, two_grooves, groove="groove funk", since=str(today_in(two_grooves.studio))
    )
    assert f"1 take: too few to say. {FEWEST} with fills are needed." in page
    url = reverse("assignments:student-comfort", args=[two_grooves.pk])
    assert f'<a class="button secondary" href="{url}">Look at all of it</a>' in page
    assert "Played most" not in page


def test_the_choice_stays_in_the_address_and_in_the_form(teacher_client, two_grooves):
    page = read(teacher_client, two_grooves, groove="groove funk", slowest=90, fastest=100)
    assert '<form method="get" novalidate>' in page
    assert '<option value="groove funk" selected>Funk: 10 takes</option>' in page
    assert re.search(r'name="slowest" value="90"', page)


def test_a_student_has_the_same_choice(student_client, two_grooves):
    url = reverse("assignments:my-playing")
    page = re.sub(r"\s+", " ", student_client.get(url, {"groove": "groove funk"}).content.decode())
    assert "Funk: 10 of 20 takes." in page
    assert f'href="{url}">Look at all of it' in page


# --- where not all can be looked at ----------------------------------------------------


@pytest.fixture
def only_twelve(monkeypatch):
    """No more fills are looked at than twelve takes have."""
    monkeypatch.setattr(playing, "MOST_PLAYS", 24)


@pytest.mark.usefixtures("only_twelve")
def test_takes_that_were_drawn_over_the_time_are_said_to_be(teacher_client, two_grooves):
    KeptZone.objects.update(key="")
    look_at(two_grooves)
    page = read(teacher_client, two_grooves)
    assert "Rests on 12 takes" in page
    assert "They are drawn over the time from 20, too many to compare." in page


@pytest.mark.usefixtures("only_twelve")
def test_takes_of_a_choice_that_were_drawn_are_said_to_be(teacher_client, two_grooves):
    page = read(teacher_client, two_grooves, slowest=90)
    assert "They are drawn over the time from 20, too many to compare." in page


def test_where_all_takes_are_looked_at_none_are_drawn(teacher_client, two_grooves):
    assert "drawn over the time" not in read(teacher_client, two_grooves)


# --- what cannot be ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"slowest": 120, "fastest": 90}, "This is slower than 120. Give 120 or more."),
        ({"slowest": "fast"}, "Give a tempo from 30 to 240"),
        ({"fastest": "9" * 5000}, "Give a tempo from 30 to 240"),
        ({"since": "2999-01-01"}, "This day is still to come."),
        ({"since": "last week"}, "Give the day as year-month-day"),
        ({"since": "\0"}, "Give the day as year-month-day"),
        ({"groove": "groove polka"}, "No take has this groove. Choose one of the list."),
        ({"groove": "\0'--"}, "No take has this groove. Choose one of the list."),
    ],
)
def test_what_cannot_be_is_said_beside_its_field_over_all_takes(
    teacher_client, two_grooves, asked, said
):
    page = read(teacher_client, two_grooves, **asked)
    assert said in page
    assert "All of it: 2 grooves, 96 to 120." in page
    assert "Rests on 20 takes" in page
    assert '<div class="view-choice"> <details open>' in page


def test_what_was_typed_is_not_lost_where_something_cannot_be(teacher_client, two_grooves):
    page = read(teacher_client, two_grooves, slowest=120, fastest=90)
    assert re.search(r'name="slowest" value="120"', page)
    assert re.search(r'name="fastest" value="90"', page)


def test_the_first_day_there_is_can_be_asked_for(teacher_client, two_grooves):
    assert "Rests on 20 takes" in read(teacher_client, two_grooves, since=date.min.isoformat())


# --- cost ----------------------------------------------------------------------------


def test_a_choice_of_many_takes_takes_as_many_queries_as_one_of_few(
    teacher_client, two_grooves, today, django_assert_num_queries
):
    read(teacher_client, two_grooves, groove="groove funk")
    with CaptureQueriesContext(connection) as of_ten:
        read(teacher_client, two_grooves, groove="groove funk")
    for number in range(9):
        take_of(two_grooves, today - number * DAY, [walk_down()], groove_heard="funk")
    look_at(two_grooves)
    with django_assert_num_queries(len(of_ten)):
        read(teacher_client, two_grooves, groove="groove funk")


def test_how_takes_were_played_is_two_queries(two_grooves, today, django_assert_num_queries):
    with django_assert_num_queries(2):
        assert len(takes_played(two_grooves, today - 41 * DAY, today)) == 20
