"""The whole of it."""

from __future__ import annotations

import pickle

import pytest

from rhythms.engine.comfort import FEWEST, comfort_zone
from tests.engine.comfort.simulated_habits import KIT, played, space, walk_down


def test_too_few_takes_give_no_zone():
    assert comfort_zone(played([walk_down()] * (FEWEST - 1)), [space()], KIT) is None


def test_it_says_what_it_rests_on():
    zone = comfort_zone(played([walk_down()] * 24, a_take=2), [space()], KIT)
    assert (zone.takes, zone.fills, zone.seconds) == (12, 24, 96)


def test_the_two_favourites_have_a_share_together():
    fills = [*space().sample(2, seed=4) * 9, *space().sample(4, seed=5)[2:]]
    zone = comfort_zone(played(fills), [space()], KIT)
    assert zone.favourite_share == pytest.approx(0.9)
    assert set(zone.favourites[:2]) == set(fills[:2])


def test_the_same_playing_gives_the_same_zone():
    fills = space().sample(20, seed=6)
    assert comfort_zone(played(fills), [space()], KIT) == comfort_zone(
        played(fills), [space()], KIT
    )


def test_it_can_be_kept_in_a_cache():
    zone = comfort_zone(played(space().sample(20, seed=6)), [space()], KIT)
    assert pickle.loads(pickle.dumps(zone)) == zone
