"""Picking from spaces that remember as much as they can: less is looked at, and it is no worse."""

import numpy as np
import pytest

from rhythms.bench.bench_picking import case
from rhythms.bench.hostile_rules import hostile_space
from rhythms.bench.picking_alone import STATUS, picked_alone
from rhythms.engine import Surface
from rhythms.engine.picking import pick
from rhythms.engine.picking.candidates import POOL, Candidates
from rhythms.engine.picking.pick_space import PickSpace
from rhythms.engine.picking.pick_work import FEWEST
from rhythms.engine.prior.human_prior import human_prior

#: A space that took picking over three seconds, and one that took it 294 MB.
DEAR, LARGE = 3, 39
TEMPO = 40
MOST_MEGABYTES = 200


@pytest.fixture(scope="module")
def dear():
    space = hostile_space(DEAR)
    return space, pick(space, 8, tempo=TEMPO)


def candidates_of(space) -> Candidates:
    return Candidates(PickSpace(space, human_prior(), TEMPO), dial=1.0, seed=0)


def test_picks_of_a_dear_space_are_eight_different_fills_of_it(dear):
    space, picks = dear
    assert len({one.fill for one in picks}) == 8
    assert all(one.fill in space for one in picks)


def test_picks_of_a_dear_space_are_playable(dear):
    assert all(one.top_tempo >= TEMPO for one in dear[1])


def test_picks_of_a_dear_space_are_the_same_for_the_same_seed(dear):
    space, picks = dear
    assert pick(space, 8, tempo=TEMPO) == picks


def test_fewer_fills_of_a_dear_space_are_looked_at():
    assert FEWEST <= len(candidates_of(hostile_space(DEAR)).pool) < POOL


def test_as_many_of_an_ordinary_space_are_looked_at_as_ever():
    assert len(candidates_of(case(0)).pool) == POOL


def test_leaning_away_ends_when_it_has_cost_enough():
    candidates = candidates_of(hostile_space(DEAR))
    nowhere = np.zeros((len(candidates.drawn.onsets), len(Surface)))
    leaned = [bool(candidates.leaning_away([nowhere], 8)) for _ in range(24)]
    assert leaned == sorted(leaned, reverse=True)
    assert {True, False} == set(leaned)


def test_hands_are_tried_on_no_more_fills_when_that_has_cost_enough():
    space = hostile_space(DEAR)
    candidates = candidates_of(space)
    *fills, last = candidates.drawn.add(candidates.weighted.choices(space.sample(601, seed=1)))
    for fill in fills:
        candidates.is_playable(fill)
    assert not candidates.work.may_look
    assert not candidates.is_playable(last)


@pytest.mark.skipif(not STATUS.exists(), reason="only Linux says what a process took")
def test_a_large_space_is_picked_from_in_little_memory():
    taken = picked_alone(LARGE)
    assert taken.picked == 8
    assert taken.megabytes < MOST_MEGABYTES
