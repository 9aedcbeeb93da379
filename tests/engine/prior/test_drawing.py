"""What is drawn of a space: different fills, as many as there are, and as drummers play."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from rhythms.engine import Bar, Kit, Surface, draw
from rhythms.engine.kits.surfaces import family
from rhythms.engine.prior.drawing import DIALS
from rhythms.engine.prior.human_prior import human_prior
from rhythms.engine.prior.weighted_space import WeightedSpace
from tests.engine.space.test_fill_space import placement, space_of
from tests.engine.space.test_fill_space import sticking as paradiddle
from tests.thoroughness import amount

SIXTEENTHS = Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a")


@pytest.mark.parametrize("dial", DIALS.values(), ids=DIALS)
def test_draws_are_different_and_of_the_space(dial):
    space = space_of(placement(["snare"], "eighth"))
    drawn = draw(space, 24, 5, dial)
    assert len(set(drawn)) == 24
    assert all(fill in space for fill in drawn)


@pytest.mark.parametrize("dial", DIALS.values(), ids=DIALS)
def test_of_a_small_space_everything_is_drawn_where_it_is_asked_for(dial):
    space = space_of(placement(["snare", "crash"]), bar=Bar.from_counts("1 2 3 4"))
    assert len(draw(space, 16, 5, dial)) == 16
    assert set(draw(space, 99, 5, dial)) == {space.fill(rank) for rank in range(16)}


@pytest.mark.parametrize("dial", DIALS.values(), ids=DIALS)
def test_the_same_seed_gives_the_same_draw_and_another_seed_another(dial):
    space = space_of()
    assert draw(space, 4, "a", dial) == draw(space, 4, "a", dial)
    assert draw(space, 4, "a", dial) != draw(space, 4, "b", dial)


def test_one_seed_makes_no_two_bars_alike():
    lines = ("1 & 2 & 3 & 4", "1 & 2 & 3 & 4 &")
    a, b = (space_of(bar=Bar.from_counts(counts)) for counts in lines)
    first = [[s.surface for s in fill.strokes[:6]] for fill in draw(a, 6, 1)]
    assert first != [[s.surface for s in fill.strokes[:6]] for fill in draw(b, 6, 1)]


def test_with_the_dial_at_nothing_it_is_the_uniform_sample():
    space = space_of()
    assert draw(space, 5, 3, 0) == space.sample(5, 3)


@pytest.mark.parametrize("dial", [-0.1, 1.5])
def test_a_dial_beyond_its_ends_is_refused(dial):
    with pytest.raises(ValueError, match="from 0 to 1"):
        draw(space_of(), 1, 1, dial)


def test_what_a_drum_weighs_is_shared_by_the_ways_of_striking_it():
    """To the prior an open hi-hat is the hi-hat: naming it makes the hats no likelier."""

    def hats(*more: str) -> float:
        space = space_of(placement(["snare", "floor tom", "hi-hat", *more]), bar=SIXTEENTHS)
        weighted = WeightedSpace(space, human_prior())
        drawn = weighted.step_by_step(weighted.graph(1.0), 2000, np.random.default_rng(1))
        strokes = [stroke for fill in weighted.fills(drawn) for stroke in fill.strokes]
        return sum("hi-hat" in stroke.surface for stroke in strokes) / len(strokes)

    assert hats("open hi-hat", "half-open hi-hat") == pytest.approx(hats(), abs=0.02)


def test_sticks_and_rim_shots_are_drawn_where_a_rule_names_them():
    space = space_of(placement(["snare", "rim shot", "stick on stick"]))
    struck = {stroke.surface for fill in draw(space, 30, 1) for stroke in fill.strokes}
    assert struck == {Surface.SNARE, Surface.RIM_SHOT, Surface.STICKS}


def test_an_empty_space_has_nothing_to_draw():
    assert draw(space_of(placement(["splash"])), 3) == ()


def figures(dial: float, *rules: dict) -> tuple[float, float]:
    """The shares of cymbals and bells, and of strokes that stay."""
    fills = draw(space_of(*rules, bar=SIXTEENTHS), amount(400, 100), 1, dial)
    lines = [[stroke.surface for stroke in fill.strokes] for fill in fills]
    strokes = [surface for line in lines for surface in line]
    bright = sum(family(surface) in ("cymbals", "bells") for surface in strokes) / len(strokes)
    moves = [a == b for line in lines for a, b in pairwise(line)]
    return bright, sum(moves) / len(moves)


def test_close_to_home_is_as_drummers_play():
    """Shares of two drummers' fills (Groove MIDI Dataset, 423 fills): cymbals 9 and 17 %, staying
    64 and 60 %; uniformly drawn 50 % and 13 % of eight surfaces.
    """
    bright, stays = figures(1.0)
    assert 0.04 < bright < 0.2
    assert 0.5 < stays < 0.72


def test_a_paradiddle_round_the_kit_sounds_like_drummers_too():
    bright, stays = figures(1.0, paradiddle())
    assert 0.04 < bright < 0.2
    assert 0.5 < stays < 0.72


def test_the_further_out_the_more_moves_there_are():
    stays = [figures(dial)[1] for dial in (1.0, 0.75, 0.4, 0.0)]
    assert stays == sorted(stays, reverse=True)


def test_a_left_handed_kit_goes_the_same_way_round():
    right, left = (
        draw(space_of(kit=Kit.standard(left_handed=left)), 4, 1) for left in (False, True)
    )
    assert right == left


def test_surfaces_without_data_are_drawn_as_those_they_stand_in_for():
    kit = Kit.of(["snare", "splash", "china", "cowbell", "cross-stick"])
    drawn = draw(space_of(bar=SIXTEENTHS, kit=kit), 60, 1)
    struck = {stroke.surface for fill in drawn for stroke in fill.strokes}
    assert struck == set(kit.surfaces)
