"""Picking: playable, new, far apart, easier first, and the same for the same seed."""

from __future__ import annotations

from collections import Counter
from itertools import groupby
from statistics import median

import numpy as np
import pytest

from rhythms.bench.bench_picking import CASES, case, ratio
from rhythms.engine import Bar, Fill, Kit, Stroke, Surface, draw
from rhythms.engine.kits.surfaces import family
from rhythms.engine.picking import HISTORY, Ended, appraise, pick
from rhythms.engine.picking.pick_space import MEASURED, PLAUSIBLE
from rhythms.engine.prior.drawing import ANYTHING, DIALS
from rhythms.engine.prior.human_prior import human_prior
from rhythms.engine.prior.weighted_space import WeightedSpace
from tests.engine.space.test_fill_space import placement, space_of
from tests.thoroughness import amount

#: How much more varied picks are than drawn fills, at least. Plausible fills are nearer to each
#: other, and those drawn a step out are varied themselves.
DIALS_TO_VARIETY = {
    "close to home": 1.2,
    "a step out": 1.1,
    "anything the rules allow": 1.5,
}


def fills_of(picked) -> list[Fill]:
    return [one.fill for one in picked]


@pytest.mark.parametrize(("setting", "at_least"), DIALS_TO_VARIETY.items())
def test_picks_are_more_varied_than_fills_drawn_at_the_same_setting(setting, at_least):
    """Median over 50 seeded cases, six fills each, both playable at 60.

    The quick run takes five: each bar and each rule set once.
    """
    cases = amount(range(CASES), range(0, 25, 6))
    ratios = [ratio(number, DIALS[setting]) for number in cases]
    assert median(ratios) >= at_least
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
    """Of all strokes that drummers would play here, half are on the snare."""
    space = case(0)
    habit = space_of(placement(["snare"]), bar=space.bar).fill(0)
    as_drummers = snares(draw(space, 100, 3))
    assert snares(fills_of(pick(space, 4, [habit], 60, 3))) < 0.6 * as_drummers
    assert snares(fills_of(pick(space, 4, [habit], 60, 3, ANYTHING))) < 0.25 * as_drummers


def snares(fills) -> float:
    struck = [stroke.surface for fill in fills for stroke in fill.strokes]
    return struck.count("snare") / len(struck)


@pytest.mark.parametrize("number", [0, 31, 6, 10, 25, 19, 38][: amount(7, 2)])
def test_no_pick_is_less_plausible_than_nineteen_of_twenty_that_drummers_would_play(number):
    """So many are asked for that unlikeness alone would lead there."""
    space = case(number)
    known = draw(space, 12, "known")
    picks = fills_of(pick(space, 24, known, 60, number))
    weighted = WeightedSpace(space, human_prior())
    usual = weighted.phrased(weighted.graph(1.0), 2000, 1.0, np.random.default_rng(8))
    # The bound itself is estimated from fewer draws: two standard deviations are allowed for.
    allowed = PLAUSIBLE + 2 * np.sqrt(PLAUSIBLE * (1 - PLAUSIBLE) / MEASURED)
    most = np.quantile(weighted.surprise(usual), allowed)
    assert weighted.surprise(weighted.choices(picks)).max() <= most


def test_nobody_is_given_three_crashes_running_or_four_bells():
    spaces = [case(number) for number in range(0, CASES, amount(2, 10))]
    picks = [one for space in spaces for one in fills_of(pick(space, 6, draw(space, 12), 60, 1))]
    runs = [longest_runs(fill) for fill in picks]
    assert sum(run["crash"] >= 3 for run in runs) <= 0.02 * len(picks)
    assert sum(run["cowbell"] >= 4 for run in runs) <= 0.02 * len(picks)


def test_plausible_picks_have_half_the_cymbals_of_picks_of_anything():
    spaces = [case(number) for number in range(0, CASES, amount(2, 10))]
    assert brightness(spaces, DIALS["a step out"]) < 0.6 * brightness(spaces, ANYTHING)


def brightness(spaces, dial: float) -> float:
    """The share of strokes on cymbals and bells, by the engine and by counting."""
    shares = []
    for space in spaces:
        picks = fills_of(pick(space, 6, draw(space, 12), 60, 1, dial))
        weighted = WeightedSpace(space, human_prior())
        bright = weighted.brightness(weighted.choices(picks))
        struck = [[family(s.surface) in ("cymbals", "bells") for s in f.strokes] for f in picks]
        assert bright == pytest.approx([np.mean(one) for one in struck])
        shares += list(bright)
    return float(np.mean(shares))


def longest_runs(fill: Fill) -> Counter[str]:
    longest: Counter[str] = Counter()
    for surface, run in groupby(str(stroke.surface) for stroke in fill.strokes):
        longest[surface] = max(longest[surface], len(list(run)))
    return longest


def test_all_are_given_under_rules_that_leave_little_at_a_fast_tempo():
    """Six 16th triplets a beat, hands apart, at most two in a row: hands in turn, or hardly."""
    bar = Bar.from_counts("1 trip let & trip let 2 trip let & trip let", "2/4")
    rules = [{"rule": "at most in a row", "n": 2}, {"rule": "hands apart"}]
    for seed in range(amount(5, 2)):
        picked = pick(space_of(*rules, bar=bar), 8, (), 60, seed)
        assert (len(picked), picked.ended) == (8, Ended.ENOUGH)
        assert all(one.top_tempo >= 60 for one in picked)


def test_picks_end_where_nothing_new_is_left():
    space = space_of(placement(["snare", "ride"]), bar=Bar.from_counts("1 2 3 4"))
    known = [space.fill(rank) for rank in range(12)]
    picked = pick(space, 16, known, 60)
    assert (len(picked), picked.ended) == (4, Ended.NONE_LEFT)


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
    known_moves = {move for fill in known for move in moves_between(fill)}
    picks = pick(space, 3, history=known, tempo=60, seed=4)
    for one in picks:
        new = {(move.origin, move.target) for move in one.new_moves}
        assert new == moves_between(one.fill) - known_moves
    assert any(one.new_moves for one in picks)


def moves_between(fill: Fill) -> set[tuple[str, str]]:
    pairs = zip(fill.strokes, fill.strokes[1:], strict=False)
    return {(a.surface, b.surface) for a, b in pairs if a.surface is not b.surface}


def test_an_empty_space_has_no_picks():
    assert pick(space_of(placement(["splash"])), 3) == ()


def test_a_tempo_that_nothing_is_playable_at_has_no_picks():
    """16ths at 299 ask for doubles in 0.05 s, and at 215 for more than 7 strokes a second of each
    hand, whoever plays them.
    """
    for number, tempo in ((11, 299), (1, 215)):
        picked = pick(case(number), 3, tempo=tempo, seed=1)
        assert (tuple(picked), picked.ended) == ((), Ended.NONE_LEFT)


def test_a_search_that_finds_nothing_says_that_it_gave_up():
    # A paradiddle in 16ths at 180: each stroke is in reach of the one before, but three of one
    # hand come within 0.25 s, and 7 strokes a second go on.
    picked = pick(case(6), 3, tempo=180, seed=1)
    assert (tuple(picked), picked.ended) == ((), Ended.GIVEN_UP)


def test_staying_on_a_surface_is_no_new_move():
    bar = Bar.from_counts("1 2 3 4")
    on_snare = Fill(bar, (Stroke(Surface.SNARE),) * 4)
    then_high_tom = Fill(bar, (*on_snare.strokes[:3], Stroke(Surface.HIGH_TOM)))
    new = appraise(then_high_tom, Kit.standard(), [], 60).new_moves
    assert [(move.origin, move.target) for move in new] == [(Surface.SNARE, Surface.HIGH_TOM)]
    assert appraise(on_snare, Kit.standard(), [], 60).new_moves == ()
