"""Steps that are to be rarer: drawn exactly as often as their factors say, and no space changed."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from rhythms.engine import Bar, Kit, Surface, pick
from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.surfaces import base
from rhythms.engine.prior.human_prior import human_prior
from rhythms.engine.prior.rarer_steps import RarerSteps
from rhythms.engine.prior.weighted_space import WeightedSpace
from tests.engine.prior.test_weighted_space import SMALL, listed
from tests.engine.space.test_fill_space import space_of
from tests.thoroughness import amount

SNARE, FLOOR, CRASH = Surface.SNARE, Surface.FLOOR_TOM, Surface.CRASH
HUMAN = human_prior()
EVERYWHERE = {(None, SNARE): 0.7, (SNARE, SNARE): 0.2, (SNARE, FLOOR): 0.5, (FLOOR, CRASH): 0.9}
ON_NOTES = {1: {(SNARE, FLOOR): 0.1}, 2: {(FLOOR, FLOOR): 0.3, (CRASH, FLOOR): 0.25}}
RARER = RarerSteps(EVERYWHERE, ON_NOTES)


def factor_of(fill: Fill) -> float:
    """Worked out stroke by stroke, from the names alone."""
    found, before = 1.0, None
    for note, stroke in enumerate(fill.strokes):
        if stroke.by_foot:
            continue
        step = before, base(stroke.surface)
        found *= EVERYWHERE.get(step, 1.0) * ON_NOTES.get(note, {}).get(step, 1.0)
        before = base(stroke.surface)
    return found


@pytest.mark.parametrize("name", SMALL)
def test_each_fill_weighs_what_it_did_times_the_factors_of_its_steps(name):
    weighted = WeightedSpace(SMALL[name], HUMAN)
    fills = listed(weighted)
    plain = weighted.graph(0.75).log_weights(fills)
    rarer = weighted.leaning(0.75, rarer=RARER).log_weights(fills)
    expected = np.log([factor_of(fill) for fill in weighted.fills(fills)])
    assert np.allclose(rarer - plain, expected)
    assert np.allclose(weighted.rarity(fills, RARER), expected / fills.shape[1])


@pytest.mark.parametrize("name", ["five notes, three surfaces", "a foot now and then"])
def test_fills_are_drawn_in_proportion_to_these_weights(name):
    """Chi-squared, as in `test_weighted_space`."""
    weighted = WeightedSpace(SMALL[name], HUMAN)
    fills = listed(weighted)
    graph = weighted.leaning(1.0, rarer=RARER)
    factors = np.array([factor_of(fill) for fill in weighted.fills(fills)])
    weights = np.exp(weighted.graph(1.0).log_weights(fills)) * factors
    n = amount(100_000, 20_000)
    chances = HUMAN.shares @ (weights / weights.sum(axis=1, keepdims=True))
    drawn = weighted.step_by_step(graph, n, np.random.default_rng(5))
    counted = {tuple(row): 0 for row in fills.tolist()}
    for row in map(tuple, drawn.tolist()):
        counted[row] += 1
    seen, often = np.array(list(counted.values())), n * chances >= 5
    observed = np.append(seen[often], seen[~often].sum())
    expected = np.append(n * chances[often], n * chances[~often].sum())
    chi_squared = ((observed - expected)[expected > 0] ** 2 / expected[expected > 0]).sum()
    freedom = (expected > 0).sum() - 1
    assert chi_squared < freedom + 4.5 * (2 * freedom) ** 0.5


def test_no_fill_comes_to_weigh_nothing():
    weighted = WeightedSpace(SMALL["hands apart"], HUMAN)
    assert len(weighted.leaning(1.0, rarer=RARER).paths()) == weighted.space.size


def test_picks_take_rarer_steps_less_often():
    space = space_of(bar=Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a"), kit=Kit.standard())
    rarer = RarerSteps({(SNARE, SNARE): 0.3, (FLOOR, FLOOR): 0.3})

    def made(picks) -> int:
        steps = (step for one in picks for step in pairwise(s.surface for s in one.fill.strokes))
        return sum(step in rarer.everywhere for step in steps)

    assert made(pick(space, 6, tempo=60, rarer=rarer)) < 0.6 * made(pick(space, 6, tempo=60))


def test_where_steps_are_to_be_rarer_the_cymbals_are_no_way_out():
    """Every step between drums is avoided."""
    drums = (SNARE, Surface.HIGH_TOM, Surface.MID_TOM, FLOOR)
    rarer = RarerSteps({(one, other): 0.5 for one in drums for other in drums})
    space = space_of(bar=Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a"), kit=Kit.standard())
    struck = [s.surface for one in pick(space, 8, tempo=60, rarer=rarer) for s in one.fill.strokes]
    assert sum(surface not in drums for surface in struck) <= 0.3 * len(struck)
