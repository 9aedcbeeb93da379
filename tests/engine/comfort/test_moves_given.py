"""What moves the fills of a space make, exactly or by some of them."""

from collections import Counter

import pytest

from rhythms.bench.hostile_rules import hostile_space
from rhythms.engine import RuleSet
from rhythms.engine.comfort import expectation
from rhythms.engine.comfort.expectation import MANY_FILLS, moves_of_space
from rhythms.engine.space.moves import surface_pairs
from tests.engine.comfort.simulated_habits import SIXTEENTHS, space

FREE = space(SIXTEENTHS, RuleSet(()))
#: 9,812 states before one of 108 notes of 48 strokes: 2.8 s of one processor, gone through.
DEAR = 51


def test_moves_by_some_fills_are_nearly_those_of_all(monkeypatch):
    exact = moves_of_space(FREE)
    monkeypatch.setattr(expectation, "MOST_STEPS", 0)
    by_some = moves_of_space(space(SIXTEENTHS, RuleSet(())))
    assert by_some != exact
    assert by_some == pytest.approx(exact, abs=0.01)


def test_a_space_that_is_dear_to_go_through_stands_for_itself_by_some_fills():
    dear = hostile_space(DEAR)
    counted = Counter(
        pair for fill in dear.sample(MANY_FILLS, seed=0) for pair in surface_pairs(fill)
    )
    assert moves_of_space(dear) == pytest.approx(
        {pair: times / counted.total() for pair, times in counted.items()}
    )
