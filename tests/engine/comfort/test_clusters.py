"""Clusters: small changes of one fill are one fill."""

from __future__ import annotations

from datetime import timedelta
from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Fill, Stroke, Surface
from rhythms.engine.comfort.clusters import ONE_FILL, clusters, grouped, share_like
from tests.engine.comfort.simulated_habits import (
    FIRST_DAY,
    SNARE,
    anything,
    on,
    played,
    space,
    walk_down,
)
from tests.thoroughness import examples


def changed(fill: Fill, at: int) -> Fill:
    strokes = list(fill.strokes)
    strokes[at] = Stroke(Surface.RIDE)
    return Fill(fill.bar, tuple(strokes))


def test_one_changed_stroke_leaves_it_the_same_fill():
    fill = walk_down()
    variants = [fill, *(changed(fill, at) for at in (1, 5, 9))]
    assert len(clusters(played(variants * 3))) == 1


def test_different_fills_are_told_apart():
    fills = [walk_down(), on([SNARE] * 16), anything(Random(3))]
    assert len(clusters(played(fills * 3))) == 3


def test_the_most_typical_is_the_one_that_the_others_vary():
    fill = walk_down()
    variants = [fill, *(changed(fill, at) for at in range(7))]
    assert clusters(played(variants))[0].typical == fill


def test_shares_are_of_the_time():
    pair = [walk_down(), anything(Random(3))]
    shares = [
        one.share
        for one in clusters(played(pair * 5, seconds=lambda number: 1 if number % 2 else 3))
    ]
    assert shares == pytest.approx([0.75, 0.25])


def test_a_cluster_says_in_how_many_takes_it_came():
    fills = [walk_down(), walk_down(), anything(Random(3))] * 4
    assert [one.takes for one in clusters(played(fills, a_take=3))] == [4, 4]


def test_the_typical_fill_has_hands_where_they_were_known():
    fill = on([SNARE] * 16, hands="RLRRLRLL" * 2)
    assert clusters(played([fill.without_hands(), fill]))[0].typical == fill


@examples(40)
@given(st.integers(1, 12), st.integers(0, 1000))
def test_groups_hold_every_place_once_and_none_could_be_joined(n, seed):
    """Checked against the definition: the mean likeness between any two groups is too small."""
    random = np.random.default_rng(seed)
    half = random.random((n, n))
    table = (half + half.T) / 2
    np.fill_diagonal(table, 1)
    groups = grouped(table, least=0.6)
    assert sorted(place for group in groups for place in group) == list(range(n))
    between = [
        table[np.ix_(one, other)].mean()
        for number, one in enumerate(groups)
        for other in groups[:number]
    ]
    assert all(mean < 0.6 + 1e-9 for mean in between)


def test_random_fills_of_one_bar_are_no_cluster():
    assert max(one.share for one in clusters(played(space().sample(40, seed=2)))) < 3 / 40
    assert ONE_FILL < 0.9


def test_a_cluster_says_since_when_it_is_played_and_which_take_has_its_typical_fill():
    other, fill = anything(Random(3)), walk_down()
    found = {one.typical: one for one in clusters(played([other, other, fill, fill, fill]))}
    assert found[fill].since == FIRST_DAY + timedelta(days=2)
    assert found[fill].take == "take 4"


def test_the_share_of_some_fills_counts_small_changes_of_them():
    fill, other = walk_down(), anything(Random(3))
    playing = played([fill, changed(fill, 2), other, other])
    assert share_like(playing, [fill]) == pytest.approx(0.5)
    assert share_like(playing, []) == 0


@pytest.mark.parametrize(("takes", "comes_back"), [(2, False), (3, True)])
def test_a_fill_comes_back_from_three_takes_on(takes, comes_back):
    (one,) = clusters(played([walk_down()] * takes))
    assert one.comes_back == comes_back
