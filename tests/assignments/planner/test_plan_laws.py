"""What holds for every plan, whatever the history: laws over random ones."""

from datetime import timedelta
from fractions import Fraction
from itertools import pairwise

from hypothesis import assume, given
from hypothesis import strategies as st

from assignments.planner.history import Sitting
from assignments.planner.plan import LoopSlot, PlanPart, loops_for, make_plan
from tests.assignments.planner.histories import DAY, a_piece, clean, histories

minutes = st.integers(1, 60)
modes = st.booleans()


def new_ones(plan) -> set[int]:
    return {item.piece.id for item in plan.items if item.part is PlanPart.NEW}


@given(histories(), minutes, modes)
def test_it_is_within_one_block_of_the_minutes(history, minutes, mixed):
    """The sum of bars x beats x 60 / tempo over whole loops."""
    plan = make_plan(*history, DAY, minutes, mixed=mixed)
    assume(plan.items)
    total = sum(
        item.loops
        * item.piece.block_bars
        * item.piece.fill.bar.meter.length
        * Fraction(60, item.tempo)
        for item in plan.items
    )
    assert total == plan.seconds
    longest = max(item.piece.block_seconds(item.tempo) for item in plan.items)
    assert abs(total - 60 * minutes) < longest


@given(histories(), minutes, modes)
def test_it_asks_for_no_more_than_the_minutes_unless_no_block_fits(history, minutes, mixed):
    plan = make_plan(*history, DAY, minutes, mixed=mixed)
    loops = [item.loops for item in plan.items]
    assert plan.seconds <= 60 * minutes or loops == [1]


@given(histories(), minutes, modes)
def test_every_item_is_whole_loops_at_a_tempo_one_can_set(history, minutes, mixed):
    for item in make_plan(*history, DAY, minutes, mixed=mixed).items:
        assert item.loops >= 1
        assert 30 <= item.tempo <= max(30, item.piece.highest)


@given(histories(), minutes, modes)
def test_the_same_history_gives_the_same_plan_in_whatever_order_it_comes(history, minutes, mixed):
    stand, log = history
    by_day = sorted(log, key=lambda sitting: sitting.day)
    once = make_plan(stand, by_day, DAY, minutes, mixed=mixed)
    assert make_plan(list(stand), tuple(by_day), DAY, minutes, mixed=mixed) == once


@given(histories(), minutes, modes)
def test_at_most_one_piece_is_new(history, minutes, mixed):
    assert len(new_ones(make_plan(*history, DAY, minutes, mixed=mixed))) <= 1


@given(histories(), minutes, modes)
def test_one_begun_today_out_of_turn_is_the_new_one_of_today(history, minutes, mixed):
    """Who began another one by themselves is not given a second one."""
    stand, log = history
    before = [sitting for sitting in log if sitting.day < DAY]
    stand = [*stand, a_piece(100), a_piece(101)]
    plan = make_plan(stand, [*before, clean(101, 0)], DAY, minutes, mixed=mixed)
    assert new_ones(plan) <= {101}


@given(histories(), minutes, modes, st.data())
def test_practising_the_plan_does_not_change_it(history, minutes, mixed, data):
    """A page that is opened again in the middle of the practice shows the same plan."""
    stand, log = history
    log = [sitting for sitting in log if sitting.day < DAY]
    plan = make_plan(stand, log, DAY, minutes, mixed=mixed)
    played = [
        Sitting(item.piece.id, DAY, item.tempo, item.loops, data.draw(st.integers(0, item.loops)))
        for item in plan.items
        if not item.groove_alone
    ]
    so_far = played[: data.draw(st.integers(0, len(played)))]
    begun = {sitting.piece for sitting in so_far}
    # A second one that was never played before would have been begun on purpose.
    known = {sitting.piece for sitting in log} | {p.id for p in stand if p.mastered_on}
    assume(len(begun - known) <= 1)
    assert make_plan(stand, [*log, *so_far], DAY, minutes, mixed=mixed) == plan


@given(histories(), minutes, modes, st.integers(1, 60))
def test_days_missed_do_not_pile_up(history, minutes, mixed, missed):
    """However long the pause, the day after it asks for no more than its minutes."""
    later = DAY + timedelta(days=missed)
    plan = make_plan(*history, later, minutes, mixed=mixed)
    assert plan.seconds <= 60 * minutes or [item.loops for item in plan.items] == [1]
    checks = [item for item in plan.items if item.part is PlanPart.CHECK]
    assert len({item.piece.id for item in checks}) <= max(1, minutes // 5)


@given(histories(), minutes, modes)
def test_only_what_was_mastered_before_is_checked(history, minutes, mixed):
    for item in make_plan(*history, DAY, minutes, mixed=mixed).items:
        if item.part is PlanPart.CHECK:
            assert item.piece.mastered_on < DAY


@given(histories(), minutes, modes)
def test_nothing_is_played_before_it_was_given(history, minutes, mixed):
    for item in make_plan(*history, DAY, minutes, mixed=mixed).items:
        assert item.piece.given_on <= DAY


@given(histories(), minutes)
def test_blocked_each_piece_comes_in_one_go(history, minutes):
    """Apart from loosening up, which is slow and may be with a piece of the day."""
    items = [
        item.piece.id
        for item in make_plan(*history, DAY, minutes, mixed=False).items
        if item.part is not PlanPart.LOOSEN_UP
    ]
    assert len(items) == len(set(items))


@given(histories(), minutes, modes)
def test_the_same_never_comes_twice_in_a_row(history, minutes, mixed):
    items = make_plan(*history, DAY, minutes, mixed=mixed).items
    for one, other in pairwise(items):
        assert (one.piece.id, one.tempo, one.groove_alone) != (
            other.piece.id,
            other.tempo,
            other.groove_alone,
        )


@given(histories(), minutes, modes)
def test_there_is_a_plan_wherever_there_is_something_to_play(history, minutes, mixed):
    stand, log = history
    there = [piece for piece in stand if piece.given_on <= DAY]
    assert bool(make_plan(stand, log, DAY, minutes, mixed=mixed).items) == bool(there)


seconds = st.fractions(1, 400, max_denominator=240)


@given(st.lists(st.builds(LoopSlot, seconds, seconds), min_size=1, max_size=12), seconds)
def test_slots_are_filled_until_nothing_more_fits(slots, total):
    loops = loops_for(slots, total)
    filled = sum(n * slot.block for n, slot in zip(loops, slots, strict=True))
    shortest = min(slot.block for slot in slots)
    if shortest <= total and sum(slot.wanted for slot in slots) <= total:
        assert total - shortest < filled <= total
    elif shortest > total:
        assert sum(loops) == 1
        assert filled == shortest
