"""Two weeks of practice with nothing gained bring a simpler one, and what is gained ends it."""

from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assignments.planner.easier import FEWER_DRUMS, HALF, SLOWER, easier, simpler_fills
from assignments.planner.history import Sitting, records
from assignments.planner.plan import PlanPart, make_plan
from assignments.planner.stuck import stuck
from assignments.planner.tempo import next_tempo
from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.engine.fills.fill import snare_fill
from tests.assignments.planner.histories import DAY, SURFACES, a_fill, a_piece, days_ago
from tests.strategies import fills

TRAVELS = a_fill(SURFACES)


def sat(ago: int, tempo: int = 72, clean: int | None = 3, loops: int = 12, **details) -> Sitting:
    return Sitting(0, days_ago(ago), tempo, loops, clean, **details)


#: Begun three weeks ago, and since then always one in four at 72, sixty times.
NOTHING_GAINED = [sat(21), sat(18), sat(14), sat(9), sat(5), sat(2)]


def record_of(sittings, **details):
    return records([a_piece(0, **{"fill": TRAVELS, **details})], sittings, DAY)[0]


def is_stuck(*more: Sitting, **details) -> bool:
    return stuck(record_of([*NOTHING_GAINED, *more], **details), DAY) is not None


def test_four_days_in_two_weeks_with_nothing_gained_are_stuck():
    found = stuck(record_of(NOTHING_GAINED), DAY)
    assert (found.since, found.tempo) == (days_ago(21), 72)


@pytest.mark.parametrize(
    "gain",
    [
        sat(10, tempo=74),
        sat(10, clean=6),
        sat(10, recheck=True),
    ],
    ids=["a clean time at a higher tempo", "a better share", "a re-check"],
)
def test_what_is_gained_begins_the_two_weeks_anew(gain):
    assert not is_stuck(gain)


def test_a_clean_day_at_a_higher_tempo_than_any_is_gained_after_a_lucky_time():
    lucky = sat(20, tempo=79, clean=1)
    assert is_stuck(lucky)
    assert not is_stuck(lucky, sat(6, tempo=74, clean=12))


def test_clean_days_at_the_highest_tempo_are_no_standing_still():
    at_the_top = [sat(ago, tempo=80, clean=9) for ago in (21, 18, 14, 9, 5, 2)]
    assert stuck(record_of(at_the_top, goal=80), DAY) is None


def test_a_mastered_fill_is_not_stuck():
    assert not is_stuck(mastered_on=days_ago(3))


def test_who_did_not_play_is_not_stuck():
    assert stuck(record_of([sat(40), sat(38), sat(3)]), DAY) is None
    long_ago = [sat(ago + 30) for ago in (21, 18, 14, 9, 5, 2)]
    assert stuck(record_of(long_ago), DAY) is None


def test_a_few_times_through_say_too_little():
    few = [sat(ago, clean=1, loops=4) for ago in (21, 18, 14, 9, 5, 2)]
    assert stuck(record_of(few), DAY) is None


def test_who_never_says_how_it_went_is_not_stuck():
    unsaid = [sat(ago, clean=None) for ago in (21, 18, 14, 9, 5, 2)]
    assert stuck(record_of(unsaid), DAY) is None


def test_two_clean_days_with_the_simpler_one_are_its_end():
    eased = [sat(1, tempo=64, clean=12, easier=True)]
    assert is_stuck(*eased)
    assert not is_stuck(*eased, sat(3, tempo=64, clean=12, easier=True))


def test_what_was_played_in_a_simpler_form_moves_no_tempo():
    eased = [sat(1, tempo=200, clean=4, easier=True), sat(0, tempo=200, clean=4, easier=True)]
    assert next_tempo(record_of([*NOTHING_GAINED, *eased])) == next_tempo(record_of(NOTHING_GAINED))


def test_the_plan_has_the_simpler_one_where_the_fill_is_worked_at():
    plan = make_plan([a_piece(0, fill=TRAVELS)], NOTHING_GAINED, DAY, 10)
    worked = [item for item in plan.items if item.part is PlanPart.WORK]
    assert {item.easier.kind for item in worked} == {FEWER_DRUMS}
    assert {item.tempo for item in worked} == {65}
    assert all(item.easier is None for item in plan.items if item.part is PlanPart.LOOSEN_UP)


def test_a_plan_with_a_simpler_one_is_still_as_long_as_its_minutes():
    plan = make_plan([a_piece(0, fill=TRAVELS)], NOTHING_GAINED, DAY, 5)
    assert 0 <= 300 - plan.seconds < max(item.block_seconds for item in plan.items)


def test_the_same_history_gives_the_same_simpler_one():
    assert easier(record_of(NOTHING_GAINED), DAY) == easier(record_of(NOTHING_GAINED), DAY)


def test_fewer_drums_keep_the_rhythm_and_have_less_way():
    found = easier(record_of(NOTHING_GAINED), DAY)
    assert found.fill.bar == TRAVELS.bar
    assert len({stroke.surface for stroke in found.fill.strokes}) == 2
    assert {stroke.surface for stroke in found.fill.strokes} < set(SURFACES)


def test_what_the_rules_do_not_allow_is_halved():
    found = easier(record_of(NOTHING_GAINED, keeps_rules=lambda fill: False), DAY)
    assert found.kind == HALF
    assert found.fill.bar.starts_at == 2
    assert found.fill.strokes == TRAVELS.strokes[-len(found.fill.strokes) :]


def test_what_cannot_be_halved_is_slower():
    short = Fill(Bar.from_counts("(1) (2) (3) 4"), (Stroke(Surface.SNARE),))
    found = easier(record_of(NOTHING_GAINED, fill=short), DAY)
    assert (found.kind, found.fill, found.tempo) == (SLOWER, short, 65)


def test_it_is_never_slower_than_thirty():
    slow = [sat(ago, tempo=31) for ago in (21, 18, 14, 9, 5, 2)]
    assert easier(record_of(slow), DAY).tempo == 30


@given(fills())
def test_a_simpler_fill_strikes_nothing_that_the_fill_does_not(fill):
    for simpler in simpler_fills(fill):
        assert simpler.surfaces <= fill.surfaces
        assert simpler.bar.meter == fill.bar.meter


@given(st.lists(st.tuples(st.integers(0, 40), st.integers(0, 4)), max_size=20))
def test_a_piece_is_not_stuck_within_two_weeks_of_its_first_day(days):
    sittings = [sat(ago, clean=clean) for ago, clean in days]
    record = record_of(sittings, given_on=days_ago(60))
    if stuck(record, DAY):
        assert DAY - record.begun_on >= timedelta(days=14)


def test_a_fill_on_one_drum_has_no_fewer():
    assert all(one.bar != TRAVELS.bar for one in simpler_fills(snare_fill(TRAVELS.bar)))
