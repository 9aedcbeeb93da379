"""Comfort zones from the takes that a studio keeps."""

from datetime import timedelta

import pytest

from assignments.comfort.comfort_zones import (
    DAYS,
    WEEKS_SHOWN,
    comfort_zone_of,
    comfort_zones_of,
    favourites,
    weeks_of,
)
from assignments.comfort.playing_record import materials, playings
from assignments.days import today_in
from assignments.models import Take
from assignments.tasks import refresh_comfort_zones
from rhythms.engine import Fill
from rhythms.engine.comfort import FEWEST
from tests.assignments.comfort_making import DAY, fills_in, take_of, walk_down, walks, wide
from tests.assignments.making import PARADIDDLE, first_fill, give, make_rule_set

pytestmark = pytest.mark.django_db


@pytest.fixture
def today(studio):
    return today_in(studio)


def played_by(student, today):
    (material,) = materials([student], today - DAYS * DAY, today)
    return playings([material], {student.pk: material.spaces()})[student.pk].plays


def test_a_student_who_always_plays_one_fill_has_a_zone_that_says_so(student, today):
    walks(student, today)
    zone = comfort_zone_of(student, today).zone
    assert zone.favourites[0] == walk_down()
    assert zone.sentences[0] == "All fills are one and the same, or nearly."


def test_too_few_takes_say_nothing(student, today):
    walks(student, today, takes=FEWEST - 1)
    comfort = comfort_zone_of(student, today)
    assert (comfort.zone, comfort.takes, comfort.missing) == (None, FEWEST - 1, 1)


@pytest.mark.parametrize(
    "unlike",
    [
        {"state": Take.State.WAITING},
        {"state": Take.State.FAILED},
        {"day": DAYS},
        {"day": -1},
        {"removed": True},
        {"classmate": True},
    ],
    ids=lambda unlike: str(next(iter(unlike))),
)
def test_only_looked_at_takes_of_the_last_weeks_that_the_student_has_count(
    student, classmate, today, unlike
):
    walks(student, today, takes=FEWEST - 1)
    whose = classmate if unlike.get("classmate") else student
    state = unlike.get("state", Take.State.DONE)
    one = take_of(whose, today - unlike.get("day", 0) * DAY, [walk_down()], state=state)
    if unlike.get("removed"):
        one.remove()
    assert comfort_zone_of(student, today).takes == FEWEST - 1


def test_a_new_take_changes_the_comfort_zone_at_once(student, today):
    walks(student, today, takes=FEWEST)
    comfort_zone_of(student, today)
    take_of(student, today, [walk_down()])
    assert comfort_zone_of(student, today).takes == FEWEST + 1


def test_a_take_that_was_analysed_again_changes_the_comfort_zone(student, today):
    (*_, take) = walks(student, today, takes=FEWEST)
    before = comfort_zone_of(student, today).zone
    take.fills = [Fill(fill.bar, fill.strokes[::-1]).to_json() for fill in fills_in(take)]
    take.analysed_at += timedelta(seconds=1)
    take.save()
    assert comfort_zone_of(student, today).zone != before


def test_a_trend_counts_each_take_in_one_half(student, today):
    for number in range(20):
        take_of(student, today - 2 * number * DAY, [walk_down()])
    take_of(student, today - DAYS // 2 * DAY, [walk_down()])  # the last day of the first half
    assert comfort_zone_of(student, today).trend.takes == 21


def test_other_rules_of_what_was_given_are_another_zone(student, today):
    assignment = give(student)
    walks(student, today)
    before = materials([student], today - DAYS * DAY, today)[0].key
    assignment.rule_set.rules = PARADIDDLE
    assignment.rule_set.save()
    assert materials([student], today - DAYS * DAY, today)[0].key != before


def test_what_is_known_is_not_worked_out_again(student, today, monkeypatch):
    walks(student, today)
    before = comfort_zone_of(student, today)
    monkeypatch.setattr("assignments.comfort.comfort_zones.comfort_zone", None)
    assert comfort_zone_of(student, today) == before


def test_the_worker_has_the_zones_of_the_day_ready(student, classmate, today, monkeypatch):
    walks(student, today)
    assert refresh_comfort_zones() == 2
    monkeypatch.setattr("assignments.comfort.comfort_zones.comfort_zone", None)
    assert comfort_zone_of(student, today).zone.favourites[0] == walk_down()


def test_the_time_of_a_take_is_shared_by_its_fills(student, today):
    take_of(student, today, [walk_down()] * 4, seconds=20)
    assert [play.seconds for play in played_by(student, today)] == [5, 5, 5, 5]


def test_a_take_without_fills_is_no_playing(student, today):
    take_of(student, today, [])
    assert played_by(student, today) == ()


def test_an_assigned_take_is_held_against_its_own_rules_and_a_free_one_against_all(student, today):
    variation = first_fill(give(student))
    take_of(student, today, [variation.as_fill], variation)
    take_of(student, today, [walk_down()])
    asked = {play.fill == walk_down(): play.space for play in played_by(student, today)}
    assert asked[True] is None
    assert variation.as_fill in asked[False]


def test_a_take_that_is_the_assigned_fill_has_the_hands_that_were_asked_for(student, today):
    rules = make_rule_set(student.studio, PARADIDDLE, name="Paradiddle")
    variation = first_fill(give(student, 1, rule_set=rules))
    take_of(student, today, [variation.as_fill.without_hands()], variation)
    (play,) = played_by(student, today)
    assert play.fill == variation.as_fill
    assert any(stroke.limb == "L" for stroke in play.fill.strokes)


def test_a_take_that_went_otherwise_has_no_hands(student, today):
    rules = make_rule_set(student.studio, PARADIDDLE, name="Paradiddle")
    variation = first_fill(give(student, 1, rule_set=rules))
    fill = variation.as_fill.without_hands()
    first, *others = fill.strokes
    other = Fill(fill.bar, (first._replace(dynamic="ghost"), *others))
    take_of(student, today, [other], variation)
    (play,) = played_by(student, today)
    assert play.fill == other


def test_many_students_take_as_many_queries_as_one(
    student, classmate, today, django_assert_num_queries
):
    for one in (student, classmate):
        walks(one, today)
        give(one)
    with django_assert_num_queries(3):
        comfort_zones_of([student], today)
    wide(classmate, today, takes=3)
    take_of(student, today, [walk_down()])
    with django_assert_num_queries(3):
        comfort_zones_of([student, classmate], today)
    with django_assert_num_queries(2):
        comfort_zones_of([student, classmate], today)


def test_a_trend_needs_takes_in_both_halves(student, today):
    walks(student, today - 22 * DAY, takes=10, every=1)
    assert comfort_zone_of(student, today).direction == ""
    wide(student, today, takes=10, every=1)
    assert comfort_zone_of(student, today).direction == "wider"


def test_the_weeks_end_today_and_say_nothing_where_takes_are_too_few(student, today):
    walks(student, today, takes=10, every=2)
    points = weeks_of(student, today)
    assert len(points) == WEEKS_SHOWN
    assert points[-1].day == today
    assert points[-1].variety.value == pytest.approx(1)
    assert points[0].variety is None


def test_favourites_are_what_is_played_most(student, classmate, today):
    walks(student, today)
    assert favourites([student, classmate], today) == {student: (walk_down(),), classmate: ()}
