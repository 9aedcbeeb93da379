"""Likeness and variety: laws any measure of likeness between fills must keep."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.engine.fills.fill import Hit, snare_fill, stroke_of
from rhythms.engine.fills.likeness import (
    MOVE,
    OTHER_HAND,
    REACH,
    UNKNOWN_HAND,
    likeness,
    likeness_table,
    likeness_to,
)
from rhythms.engine.fills.together_likeness import FOOT, OTHER_TOUCH, surface_likeness
from rhythms.engine.fills.variety import effective_fills, effective_number, novelty
from tests.strategies import fills, fills_of_one_bar, sounding_bars, strokes_together

BAR = Bar.from_counts("1 & 2 e & a 3 & 4 e & a")


def fill(*surfaces: Surface, bar: Bar = BAR, **parts: str) -> Fill:
    places = [surfaces[note % len(surfaces)] for note in range(len(bar.sounded))]
    return Fill(bar, tuple(Stroke(surface, **parts) for surface in places))


SNARE = fill(Surface.SNARE)


def test_a_fill_without_a_stroke_is_like_none_that_has_some():
    rests = Fill(Bar.from_counts("(1) - - -"), ())
    assert likeness(rests, SNARE) == likeness(SNARE, rests) == 0
    assert likeness(rests, rests) == 1


@given(fills(together=True), fills(together=True))
def test_likeness_is_symmetric_and_between_0_and_1(a, b):
    assert 0 <= likeness(a, b) <= 1
    assert likeness(a, b) == pytest.approx(likeness(b, a))


@given(st.lists(fills(together=True), min_size=2, max_size=12))
def test_fills_on_many_rhythms_are_as_alike_as_two_by_two(some):
    two_by_two = [[likeness(a, b) for b in some] for a in some]
    np.testing.assert_allclose(likeness_table(some), two_by_two, rtol=0, atol=1e-15)


def shared(one: Stroke, other: Stroke) -> float:
    """What both strike of what either strikes: each pairing of their hits is tried."""
    a, b = (
        [(s.surface, "normal"), *((h.surface, h.dynamic) for h in s.beside)] for s in (one, other)
    )
    a, b = sorted((a, b), key=len)
    feet = {Surface.BASS_DRUM, Surface.HI_HAT_FOOT}
    weight = {surface: FOOT if surface in feet else 1.0 for surface in Surface}
    best = max(
        sum(
            (weight[p] + weight[q])
            / 2
            * surface_likeness(p, q)
            * (1.0 if touch == touched else OTHER_TOUCH)
            for (p, touch), (q, touched) in zip(a, some, strict=True)
        )
        for some in permutations(b, len(a))
    )
    return best / (sum(weight[surface] for surface, _ in a + b) / 2)


def stroke_likeness(a: Fill, i: int, b: Fill, j: int) -> float:
    """How alike two strokes are, as the module says it: surface, move, hand, touch."""
    one, other = a.strokes[i], b.strokes[j]
    came = float(i == j == 0)
    if i and j:
        came = surface_likeness(a.strokes[i - 1].surface, b.strokes[j - 1].surface)
    hands = {one.limb, other.limb}
    hand = 1.0 if len(hands) == 1 else UNKNOWN_HAND if None in hands else OTHER_HAND
    touch = one[2:4] == other[2:4]
    alike = shared(one, other) * (1 - MOVE + MOVE * came)
    return alike * hand * (1.0 if touch else OTHER_TOUCH)


def plain_likeness(a: Fill, b: Fill) -> float:
    """The best matching in order, pair by pair."""
    one, other = ([float(note.onset) for note in fill.bar.sounded] for fill in (a, b))
    if not one + other:
        return 1.0
    best = [[0.0] * (len(other) + 1) for _ in range(len(one) + 1)]
    for i, at in enumerate(one):
        for j, there in enumerate(other):
            near = max(0.0, 1 - abs(at - there) / REACH)
            pair = best[i][j] + near * stroke_likeness(a, i, b, j)
            best[i + 1][j + 1] = max(pair, best[i][j + 1], best[i + 1][j])
    return 2 * best[-1][-1] / (len(one) + len(other))


@given(fills_of_one_bar(), fills(together=True))
def test_fills_compared_at_once_are_as_alike_as_pair_by_pair(some, another):
    together = [*some.values(), another]
    plain = [[plain_likeness(a, b) for b in together] for a in together]
    assert likeness_table(together) == pytest.approx(np.array(plain))


@given(fills(together=True))
def test_a_fill_is_wholly_like_itself(a):
    assert likeness(a, a) == pytest.approx(1)


@given(sounding_bars(), st.data())
def test_only_equal_fills_on_one_bar_are_wholly_alike(bar, data):
    surfaces = st.sampled_from([Surface.SNARE, Surface.RIDE, Surface.HIGH_TOM])
    alone = st.tuples(surfaces, st.sampled_from([None, "R", "L"])).map(lambda s: Stroke(*s))
    strokes = st.one_of(alone, strokes_together())
    notes = len(bar.sounded)
    a, b = (
        Fill(bar, tuple(data.draw(st.lists(strokes, min_size=notes, max_size=notes))))
        for _ in range(2)
    )
    assert (likeness(a, b) > 1 - 1e-9) == (a == b)


def test_neighbouring_toms_are_liker_than_distant_ones_and_these_than_a_cymbal():
    line = [Surface.MID_TOM, Surface.FLOOR_TOM, Surface.CRASH]
    high = fill(Surface.HIGH_TOM)
    alike = [likeness(high, fill(surface)) for surface in line]
    assert alike == sorted(alike, reverse=True)
    assert alike[0] > alike[1] > alike[2]


def test_a_foot_under_a_stroke_makes_less_difference_than_a_second_hand():
    alone, bass = fill(Surface.CRASH), Hit(Surface.BASS_DRUM, "RF")
    with_foot, with_hand = (
        Fill(BAR, (stroke_of([Hit(Surface.CRASH), other]),) * len(BAR.sounded))
        for other in (bass, Hit(Surface.SNARE))
    )
    assert 1 > likeness(alone, with_foot) > likeness(alone, with_hand)
    assert likeness(with_hand, SNARE) > likeness(alone, SNARE)


def test_other_hands_make_a_little_difference():
    other = likeness(fill(Surface.SNARE, limb="R"), fill(Surface.SNARE, limb="L"))
    unknown = likeness(fill(Surface.SNARE, limb="R"), SNARE)
    assert likeness(SNARE, fill(Surface.RIDE)) < other < unknown < 1


def test_the_same_surfaces_in_other_moves_are_less_alike():
    walk = fill(Surface.SNARE, Surface.HIGH_TOM, Surface.MID_TOM, Surface.FLOOR_TOM)
    back = fill(Surface.FLOOR_TOM, Surface.MID_TOM, Surface.HIGH_TOM, Surface.SNARE)
    assert likeness(walk, back) < likeness(walk, walk)


def test_a_displaced_rhythm_is_less_alike():
    on = fill(Surface.SNARE, bar=Bar.from_counts("1 2 3 4"))
    off = fill(Surface.SNARE, bar=Bar.from_counts("(1) & (2) & (3) & (4) &"))
    further = fill(Surface.SNARE, bar=Bar.from_counts("1 & 2 & 3 & 4 &"))
    assert likeness(on, off) < 1
    assert likeness(on, further) < 1


def test_bars_without_strokes_are_alike():
    rest = Fill(Bar.from_counts("(1) - - -"), ())
    assert likeness(rest, rest) == 1
    assert likeness(rest, SNARE) == 0


def test_a_table_is_the_likeness_of_each_pair():
    some = [SNARE, fill(Surface.RIDE), fill(Surface.SNARE, Surface.RIDE)]
    table = likeness_table(some)
    for i, a in enumerate(some):
        assert list(table[i]) == pytest.approx([likeness(a, b) for b in some])
    assert list(likeness_to(SNARE, some)) == pytest.approx(list(table[0]))


def test_novelty_falls_with_the_nearest_known_fill():
    assert novelty(SNARE, []) == 1
    assert novelty(SNARE, [fill(Surface.RIDE), SNARE]) == pytest.approx(0)


# --- effective numbers with likeness ------------------------------------------------------

weights = st.lists(st.floats(0.1, 50), min_size=1, max_size=6)
orders = st.sampled_from([0.0, 0.5, 1.0, 2.0, float("inf")])


@given(weights, orders)
def test_kinds_that_are_wholly_alike_count_as_one(plays, order):
    alike = np.ones((len(plays), len(plays)))
    assert effective_number(plays, alike, order) == pytest.approx(1)


@given(weights, orders, st.floats(0, 1))
def test_likeness_never_raises_the_effective_number(plays, order, share):
    table = np.eye(len(plays)) * (1 - share) + share
    assert effective_number(plays, table, order) <= effective_number(plays, None, order) + 1e-9


@given(weights, orders)
def test_splitting_a_kind_into_two_that_are_wholly_alike_changes_nothing(plays, order):
    """Leinster and Cobbold (2012), the property of identical species."""
    table = np.eye(len(plays) + 1)
    table[-1, 0] = table[0, -1] = 1
    split = [plays[0] / 3, *plays[1:], plays[0] * 2 / 3]
    assert effective_number(split, table, order) == pytest.approx(
        effective_number(plays, None, order)
    )


def test_the_same_fill_played_often_is_one_fill():
    assert effective_fills([SNARE, SNARE], [30, 10]) == pytest.approx(1)


def test_nothing_played_has_no_effective_number():
    with pytest.raises(ValueError, match="no plays"):
        effective_number([])
    with pytest.raises(ValueError, match="no plays"):
        effective_number([0, 0])
    with pytest.raises(ValueError, match="below 0"):
        effective_number([1, -1])


def test_a_fill_is_like_itself_with_a_pickup_before_it():
    plain = snare_fill(Bar.from_counts("1 & 2 & 3 & 4 &"))
    early = snare_fill(Bar.from_counts("4 & | 1 & 2 & 3 & 4 &"))
    late = snare_fill(Bar.from_counts("(1) - - 4 & | 1 & 2 & 3 & 4 &"))
    assert likeness(early, early) == 1
    assert likeness(plain, early) > 0.8 > 2 * likeness(plain, late)
