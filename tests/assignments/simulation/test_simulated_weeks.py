"""Twelve weeks of three invented students, by the plan."""

from functools import cache
from io import StringIO

import pytest
from django.core.management import call_command

from assignments.planner.plan import PlanPart
from assignments.simulation.learner import LEARNERS, SLOW, STUCK, Skill
from assignments.simulation.simulated_weeks import DAYS, simulate_weeks

SEED = 4
of_each = pytest.mark.parametrize("learner", LEARNERS, ids=lambda learner: learner.name)


@cache
def weeks_of(learner, seed):
    """Lived once: no test changes them."""
    return simulate_weeks(learner, seed)


@pytest.fixture(scope="module")
def lives():
    return {learner: weeks_of(learner, SEED) for learner in LEARNERS}


@of_each
def test_no_day_asks_for_more_than_its_minutes(lives, learner):
    for plan in lives[learner].plans:
        assert plan.seconds <= 60 * plan.minutes


@of_each
def test_every_day_uses_its_minutes_but_for_less_than_one_block(lives, learner):
    for plan in lives[learner].plans:
        shortest = min(item.block_seconds for item in plan.items)
        assert 60 * plan.minutes - plan.seconds < max(shortest, 24)


@of_each
def test_at_most_one_fill_a_day_is_new(lives, learner):
    assert lives[learner].most_new == 1


@of_each
def test_most_of_what_was_begun_holds_or_is_on_its_way(lives, learner):
    weeks = lives[learner]
    assert len(weeks.holding) >= 2
    assert len(weeks.begun) - len(weeks.mastered) <= 6


@of_each
def test_what_holds_would_come_out_clean(lives, learner):
    """By the model: at the tempo asked for, cold, after the last day."""
    assert lives[learner].clean_in_truth > 0.7


@of_each
def test_everything_that_holds_was_played_cold_on_a_later_day(lives, learner):
    weeks = lives[learner]
    for piece in weeks.holding:
        standing = weeks.standing(piece.id)
        checks = [s.day for s in weeks.sittings if s.piece == piece.id and s.recheck]
        assert max(checks) > standing.mastered_on


@of_each
def test_what_did_not_come_out_clean_was_practised_again(lives, learner):
    weeks = lives[learner]
    for piece, steps in weeks.steps.items():
        for step in steps:
            if step.kind == "not clean" and (weeks.plans[-1].day - step.day).days > 7:
                later = [plan for plan in weeks.plans if plan.day > step.day]
                parts = {i.part for plan in later for i in plan.items if i.piece.id == piece}
                assert parts & {PlanPart.WORK, PlanPart.TURN}


def test_more_practice_brings_more_that_holds(lives):
    beginner, _, eager = (len(lives[learner].holding) for learner in LEARNERS)
    assert eager > beginner


def test_the_same_seed_gives_the_same_weeks(lives):
    learner = LEARNERS[0]
    assert simulate_weeks(learner, SEED).sittings == lives[learner].sittings


def test_another_seed_gives_others(lives):
    learner = LEARNERS[0]
    assert simulate_weeks(learner, SEED + 1).sittings != lives[learner].sittings


def test_what_is_not_played_sinks_and_what_was_often_played_sinks_less():
    learner = LEARNERS[0]
    rare, often = Skill(learner, 80), Skill(learner, 80)
    rare.speed = often.speed = 78
    often.days_played = 9
    rare.sleep(played=False)
    often.sleep(played=False)
    assert rare.speed < often.speed < 78


def test_the_command_prints_a_row_for_each_student():
    output = StringIO()
    call_command("twelve_weeks", seeds=1, stdout=output)
    head, _, *rows = output.getvalue().splitlines()[:5]
    assert str(DAYS) in head
    for learner, row in zip(LEARNERS, rows, strict=True):
        assert row.startswith(learner.name)
        assert row.split()[-1] == "0.0"


def days_eased(learner, seed) -> int:
    plans = weeks_of(learner, seed).plans
    return sum(any(item.easier for item in plan.items) for plan in plans)


@pytest.mark.parametrize("learner", [*LEARNERS, SLOW], ids=lambda learner: learner.name)
def test_who_climbs_however_slowly_has_no_simpler_one_in_twelve_weeks(learner):
    assert [days_eased(learner, seed) for seed in (0, SEED)] == [0, 0]


def test_who_is_stuck_has_a_simpler_one_and_the_fill_itself_again():
    weeks = simulate_weeks(STUCK, SEED)
    first = weeks.eased[0].piece.id
    eased = [
        plan.day for plan in weeks.plans for i in plan.items if i.easier and i.piece.id == first
    ]
    itself = [s.day for s in weeks.sittings if s.piece == first and not s.easier]
    assert len(set(eased)) >= 3
    assert any(day > min(eased) for day in itself)
