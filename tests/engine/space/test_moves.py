"""Moves: what a space expects is the mean over all its fills."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given

from rhythms.engine import Bar, FillSpace, RuleSet, Surface
from rhythms.engine.space.moves import Move, expected_moves, observed_moves
from tests.engine.rules_at_random import bars, kits, rule_sets
from tests.engine.space.test_fill_space import placement, space_of
from tests.thoroughness import examples


@examples(80, quick=40)
@given(bars, rule_sets, kits)
def test_expected_moves_are_the_mean_over_every_fill(bar, rules, kit):
    space = FillSpace(bar, RuleSet.from_json(rules), kit)
    assume(0 < space.size <= 2000)
    counted = observed_moves(space.fill(rank) for rank in range(space.size))
    expected = expected_moves(space)
    assert expected == pytest.approx({move: n / space.size for move, n in counted.items()})


def test_a_huge_space_expects_as_many_moves_as_there_are_gaps():
    watched = {"rule": "at most in a row", "n": 2}, {"rule": "hands apart"}
    bar = Bar.from_counts(" ".join(f"{beat} trip let & trip let" for beat in (1, 2, 3, 4)))
    assert sum(expected_moves(space_of(*watched, bar=bar)).values()) == pytest.approx(23)


def test_moves_are_told_apart_by_where_they_arrive_in_the_beat():
    fill = space_of(placement(["snare"]), bar=Bar.from_counts("1 & 2 &", "2/4")).fill(0)
    snare = Surface.SNARE
    assert observed_moves([fill]) == {
        Move(Fraction(1, 2), snare, snare): 2,
        Move(Fraction(0), snare, snare): 1,
    }


def test_an_empty_space_expects_nothing():
    with pytest.raises(ValueError, match="without fills"):
        expected_moves(space_of(placement(["splash"])))
