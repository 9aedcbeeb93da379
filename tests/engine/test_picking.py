"""Picking: playable, new, far apart, easier first, and the same for the same seed."""

from __future__ import annotations

from statistics import median

import pytest

from rhythms.bench.bench_picking import CASES, case, ratio
from rhythms.engine import Bar, Fill, Kit, Stroke, Surface
from rhythms.engine.picking import HISTORY, appraise, pick
from rhythms.engine.space.weighted_sampling import draw_leaning
from tests.engine.space.test_fill_space import placement, space_of
from tests.thoroughness import amount


def fills_of(picked) -> list[Fill]:
    return [one.fill for one in picked]


def test_picks_have_at_least_one_and_a_half_times_the_variety_of_random_choice():
    """Median over 50 seeded cases, six fills each, both playable at 60.

    The quick run takes every fourth: still each bar and each rule set.
    """
    ratios = [ratio(number) for number in range(0, CASES, amount(1, 4))]
    assert median(ratios) >= 1.5
    assert min(ratios) > 1


@pytest.fixture(scope="module")
def picked():
    space = case(3)
    return space, pick(space, 5, history=space.sample(4, seed=9), tempo=72, seed=1)


def test_picks_are_in_the_space_and_different(picked):
    space, picks = picked
    assert len({one.fill for one in picks}) == 5
    assert all(one.fill in space for one in picks)


def test_picks_are_playable_at_the_tempo(picked):
    assert all(one.top_tempo >= 72 for one in picked[1])


def test_easier_picks_come_first(picked):
    efforts = [one.effort.total for one in picked[1]]
    assert efforts == sorted(efforts)


def test_the_same_seed_gives_the_same_picks(picked):
    space, picks = picked
    again = pick(space, 5, history=space.sample(4, seed=9), tempo=72, seed=1)
    assert again == picks
    assert pick(space, 5, history=space.sample(4, seed=9), tempo=72, seed=2) != picks


def test_what_is_known_is_never_picked():
    space = space_of(placement(["snare", "ride"]), bar=Bar.from_counts("1 2 3 4"))
    known = [space.fill(rank) for rank in range(12)]
    picks = fills_of(pick(space, 16, history=known, tempo=60, seed=1))
    assert len(picks) == 4
    assert not set(picks) & set(known)


def test_picks_lean_away_from_a_habit():
    space = case(0)
    on_the_snare = placement(["snare"])
    habit = space_of(on_the_snare, bar=space.bar).fill(0)
    with_habit = fills_of(pick(space, 4, history=[habit], tempo=60, seed=3))
    snares = [sum(s.surface == "snare" for s in fill.strokes) for fill in with_habit]
    assert sum(snares) < 4 * len(habit.strokes) / 8


def test_of_a_long_history_the_newest_are_kept_away_from():
    space = case(0)
    newest = list(space.sample(HISTORY, seed=5))
    older = list(space_of(bar=Bar.from_counts("1 2 3 4")).sample(HISTORY, seed=6))
    alone, with_older = (
        fills_of(pick(space, 4, history=known, tempo=60, seed=3))
        for known in (newest, newest + older)
    )
    assert with_older == alone


def test_a_pick_says_which_moves_are_new():
    space = space_of(bar=Bar.from_counts("1 2 3 4"))
    known = space.sample(3, seed=2)
    known_moves = {
        (a.surface, b.surface)
        for fill in known
        for a, b in zip(fill.strokes, fill.strokes[1:], strict=False)
    }
    for one in pick(space, 3, history=known, tempo=60, seed=4):
        assert one.new_moves
        assert not {(move.origin, move.target) for move in one.new_moves} & known_moves


def test_an_empty_space_has_no_picks():
    assert pick(space_of(placement(["splash"])), 3) == ()


def test_a_tempo_that_nothing_is_playable_at_has_no_picks():
    assert pick(case(1), 3, tempo=299, seed=1) == ()


def test_leaning_draws_stay_in_the_space_and_follow_the_weights():
    space = space_of(placement(["snare", "ride"]), bar=Bar.from_counts("1 2", "2/4"))
    leanings = [[1.0, 3.0], [1.0, 1.0]]
    drawn = draw_leaning(space, leanings, 4000, [7])
    rides = sum(fill.strokes[0].surface == "ride" for fill in drawn)
    assert all(fill in space for fill in set(drawn))
    # 3 in 4, within 4.5 standard deviations of a binomial.
    assert abs(rides - 3000) < 4.5 * (4000 * 0.75 * 0.25) ** 0.5


def test_staying_on_a_surface_is_no_new_move():
    bar = Bar.from_counts("1 2 3 4")
    on_snare = Fill(bar, (Stroke(Surface.SNARE),) * 4)
    then_high_tom = Fill(bar, (*on_snare.strokes[:3], Stroke(Surface.HIGH_TOM)))
    new = appraise(then_high_tom, Kit.standard(), [], 60).new_moves
    assert [(move.origin, move.target) for move in new] == [(Surface.SNARE, Surface.HIGH_TOM)]
    assert appraise(on_snare, Kit.standard(), [], 60).new_moves == ()
