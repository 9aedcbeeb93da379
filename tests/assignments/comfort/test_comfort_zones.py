"""Comfort zones from the takes that a studio keeps."""

from dataclasses import replace
from datetime import timedelta

import pytest

from assignments.comfort import tasks
from assignments.comfort.comfort_zones import (
    DAYS,
    comfort_zone_of,
    comfort_zones_of,
    favourites,
    looked_at_in,
    weeks_in,
    zone_in,
)
from assignments.comfort.playing_record import material_of, playing_of
from assignments.comfort.zone_making import WEEKS_SHOWN, refresh, students_outdated
from assignments.days import today_in
from assignments.models import KeptZone, Take
from assignments.tasks import refresh_comfort_zones
from rhythms.engine import Fill
from rhythms.engine.comfort import FEWEST, comfort_zone, playing
from rhythms.engine.comfort.zone_json import MOST_CLUSTERS
from tests.assignments.comfort_making import (
    DAY,
    fills_in,
    look_at,
    take_of,
    walk_down,
    walks,
    wide,
)
from tests.assignments.making import PARADIDDLE, first_fill, give, make_rule_set
from tests.cast import add_student

pytestmark = pytest.mark.django_db


@pytest.fixture
def today(studio):
    return today_in(studio)


def zone_of(student):
    """All of the zone that is kept."""
    return zone_in(KeptZone.objects.get(student=student))


def played_by(student, today):
    material = material_of(student, today - DAYS * DAY, today)
    return playing_of(material, material.spaces()).plays


def test_a_student_who_always_plays_one_fill_has_a_zone_that_says_so(student, today):
    walks(student, today)
    zone = zone_of(student)
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
    look_at(student)
    assert comfort_zone_of(student, today).takes == FEWEST - 1


def test_a_new_take_changes_the_comfort_zone_at_once(
    student, today, django_capture_on_commit_callbacks
):
    walks(student, today, takes=FEWEST)
    with django_capture_on_commit_callbacks(execute=True):
        take_of(student, today, [walk_down()])
    assert comfort_zone_of(student, today).takes == FEWEST + 1


def test_a_take_that_was_analysed_again_changes_the_comfort_zone(
    student, today, django_capture_on_commit_callbacks
):
    (*_, take) = walks(student, today, takes=FEWEST)
    before = zone_of(student)
    take.fills = [Fill(fill.bar, fill.strokes[::-1]).to_json() for fill in fills_in(take)]
    take.analysed_at += timedelta(seconds=1)
    with django_capture_on_commit_callbacks(execute=True):
        take.save()
    assert zone_of(student) != before


def test_a_trend_counts_each_take_in_one_half(student, today):
    for number in range(20):
        take_of(student, today - 2 * number * DAY, [walk_down()])
    take_of(student, today - DAYS // 2 * DAY, [walk_down()])  # the last day of the first half
    look_at(student)
    assert comfort_zone_of(student, today).trend.takes == 21


def test_other_rules_of_what_was_given_are_another_zone(student, today):
    assignment = give(student)
    walks(student, today)
    before = material_of(student, today - DAYS * DAY, today).key
    assignment.rule_set.rules = PARADIDDLE
    assignment.rule_set.save()
    assert material_of(student, today - DAYS * DAY, today).key != before


def test_what_is_known_is_not_worked_out_again(student, today, monkeypatch):
    walks(student, today)
    before = zone_of(student)
    monkeypatch.setattr("assignments.comfort.zone_making.comfort_zone", None)
    look_at(student)
    assert zone_of(student) == before


def test_a_zone_that_is_kept_reads_as_it_was_worked_out(student, today):
    wide(student, today)
    found = material_of(student, today - DAYS * DAY, today)
    spaces = found.spaces()
    made = comfort_zone(playing_of(found, spaces), spaces.values(), found.kit)
    assert zone_of(student) == replace(made, clusters=made.clusters[:MOST_CLUSTERS])


def test_what_lists_say_of_a_zone_is_what_its_own_page_says(student, today):
    walks(student, today)
    assert comfort_zone_of(student, today).zone == zone_of(student).summary


def test_no_zone_is_worked_out_by_asking_for_it(student, today):
    for _ in range(FEWEST):
        take_of(student, today, [walk_down()])
    comfort = comfort_zone_of(student, today)
    assert (comfort.zone, comfort.is_waiting, comfort.is_current) == (None, True, False)


def test_fewer_takes_than_say_anything_need_not_be_looked_at(student, today):
    take_of(student, today, [walk_down()])
    comfort = comfort_zone_of(student, today)
    assert (comfort.takes, comfort.is_current) == (1, True)


def test_a_zone_goes_out_of_date_with_the_day_a_take_leaves_it(student, today):
    walks(student, today)
    kept = KeptZone.objects.get(student=student)
    days = [
        day for day in range(1, DAYS) if not comfort_zone_of(student, today + day * DAY).is_current
    ]
    assert kept.moves_on == today + days[0] * DAY


def test_a_change_while_a_zone_is_made_leaves_it_out_of_date(student, today, monkeypatch):
    walks(student, today)

    def changed_meanwhile(*_):
        KeptZone.objects.outdate([student.pk])
        return

    take_of(student, today, [walk_down()])
    KeptZone.objects.outdate([student.pk])
    monkeypatch.setattr("assignments.comfort.zone_making.judged", changed_meanwhile)
    refresh(student)
    assert not comfort_zone_of(student, today).is_current


def test_one_who_played_nothing_is_looked_at_once(student, today):
    refresh(student)
    assert student.pk not in students_outdated(student.studio)


def test_the_worker_has_the_zones_of_the_day_ready(student, classmate, today):
    for _ in range(FEWEST):
        take_of(student, today, [walk_down()])
    assert refresh_comfort_zones() == 2
    assert comfort_zone_of(student, today).is_current
    assert zone_of(student).favourites[0] == walk_down()


def test_the_job_of_a_studio_makes_those_of_no_other(student, other_student, today):
    tasks.refresh_studio(str(student.studio_id))
    assert not students_outdated(student.studio)
    assert students_outdated(other_student.studio) == [other_student.pk]


@pytest.fixture
def five(studio):
    return [add_student(studio, f"Number {at}") for at in range(5)]


def test_a_job_makes_a_few_zones_and_asks_for_the_rest(studio, five, monkeypatch):
    asked = []
    monkeypatch.setattr(tasks, "MOST_STUDENTS", 2)
    monkeypatch.setattr(tasks.refresh_studio, "delay", lambda *message: asked.append(message))
    tasks.refresh_studio(str(studio.pk))
    assert asked == [(str(studio.pk), five[1].pk)]
    assert len(students_outdated(studio)) == 3


def test_one_job_after_the_other_makes_all_zones(studio, five, monkeypatch):
    monkeypatch.setattr(tasks, "MOST_STUDENTS", 2)
    refresh_comfort_zones()
    assert students_outdated(studio) == []


def test_a_job_that_was_killed_goes_on_where_it_stopped(studio, five, monkeypatch):
    """Its message is given out again; what it made is kept."""
    looked_at = []

    def killed(student):
        looked_at.append(student.pk)
        if len(looked_at) == 3:
            raise SystemExit
        return refresh(student)

    monkeypatch.setattr(tasks, "refresh", killed)
    with pytest.raises(SystemExit):
        tasks.refresh_studio(str(studio.pk))
    tasks.refresh_studio(str(studio.pk))
    assert looked_at == [one.pk for one in [*five[:3], *five[2:]]]


def test_one_zone_that_cannot_be_made_stops_no_other(studio, five, monkeypatch):
    def refuses(student):
        if student == five[1]:
            raise RuntimeError("No")
        return refresh(student)

    monkeypatch.setattr(tasks, "refresh", refuses)
    refresh_comfort_zones()
    assert students_outdated(studio) == [five[1].pk]


def test_the_studios_job_goes_on_behind_zones_that_cannot_be_made(studio, five, monkeypatch):
    """As many as one message makes: without going on, it would ask for the same ones for ever."""

    def refuses(student):
        if student in five[:2]:
            raise RuntimeError("No")
        return refresh(student)

    monkeypatch.setattr(tasks, "MOST_STUDENTS", 2)
    monkeypatch.setattr(tasks, "refresh", refuses)
    tasks.refresh_studio(str(studio.pk))
    assert students_outdated(studio) == [student.pk for student in five[:2]]


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


def test_a_fill_that_was_found_in_a_take_was_asked_for_and_its_answers_were_not(student, today):
    variation = first_fill(give(student))
    found = {"attempts": [{"bar": 0}, {"bar": 1}], "answers": 1}
    fills = [variation.as_fill, walk_down(), walk_down()]
    take_of(student, today, fills, variation, analysis=found)
    asked = [play.asked for play in played_by(student, today)]
    assert sorted(asked, key=bool) == [None, variation.as_fill, variation.as_fill]


def test_a_fill_that_was_meant_and_not_found_was_not_asked_for(student, today):
    variation = first_fill(give(student))
    found = {"attempts": [], "answers": 0}
    take_of(student, today, [variation.as_fill], variation, analysis=found)
    (play,) = played_by(student, today)
    assert play.space is not None
    assert play.asked is None


def test_how_steady_each_fill_was_comes_with_it(student, today):
    fills = [walk_down()] * 3
    take_of(student, today, fills, analysis={"fill_spreads": [12.5, None]})
    assert {play.spread for play in played_by(student, today)} == {12.5, None}
    take_of(student, today, fills, analysis={"attempts": []})
    assert len(played_by(student, today)) == 6


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
    walks(student, today)
    with django_assert_num_queries(1):
        comfort_zones_of([student], today)
    take_of(classmate, today, [walk_down()])
    with django_assert_num_queries(2):
        comfort_zones_of([student, classmate], today)
    wide(classmate, today)
    with django_assert_num_queries(1):
        comfort_zones_of([student, classmate], today)


def test_a_trend_needs_takes_in_both_halves(student, today):
    walks(student, today - 22 * DAY, takes=10, every=1)
    assert comfort_zone_of(student, today).direction == ""
    wide(student, today, takes=10, every=1)
    assert comfort_zone_of(student, today).direction == "wider"


def test_the_weeks_end_today_and_say_nothing_where_takes_are_too_few(student, today):
    walks(student, today, takes=10, every=2)
    points = weeks_in(KeptZone.objects.get(student=student))
    assert len(points) == WEEKS_SHOWN
    assert points[-1].day == today
    assert points[-1].variety.value == pytest.approx(1)
    assert points[0].variety is None


def test_favourites_are_what_is_played_most(student, classmate, today):
    walks(student, today)
    assert favourites([student, classmate]) == {student: (walk_down(),), classmate: ()}


def test_takes_behind_those_that_are_looked_at_are_not_read(
    student, today, monkeypatch, django_assert_num_queries
):
    """Who sends takes without end is looked at as far back as anybody."""
    for number in range(60):
        take_of(student, today - number % 20 * DAY, [walk_down()] * 2)
    material = material_of(student, today - DAYS * DAY, today)
    with django_assert_num_queries(3):
        assert len(playing_of(material, {}).plays) == 120
    monkeypatch.setattr(playing, "MOST_PLAYS", 30)
    with django_assert_num_queries(1):
        found = playing_of(material, {})
    assert len(found.plays) == 30
    assert len(found.left_out) == 45


def test_takes_of_the_days_that_are_spoken_of_are_looked_at_before_others(
    student, today, monkeypatch
):
    for number in range(20):
        take_of(student, today - number % 10 * DAY, [walk_down()])
    monkeypatch.setattr(playing, "MOST_PLAYS", 10)
    since = today - 4 * DAY
    found = playing_of(material_of(student, today - DAYS * DAY, today), {}, since)
    assert {play.day for play in found.plays} == {today - days * DAY for days in range(5)}


def test_a_zone_says_of_how_many_takes_it_was_drawn(student, today, monkeypatch):
    walks(student, today, takes=20, every=1)
    assert looked_at_in(KeptZone.objects.get(student=student)) == (20, 20)
    monkeypatch.setattr(playing, "MOST_PLAYS", 24)
    take_of(student, today, [walk_down()])
    look_at(student)
    looked_at, of = looked_at_in(KeptZone.objects.get(student=student))
    assert of == 21
    assert 11 <= looked_at <= 13
    assert zone_of(student).takes == looked_at
