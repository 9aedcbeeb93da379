"""The second half answers the first: against plain listing, on bars that have halves."""

import pytest

from rhythms.engine import Bar, FillSpace, Kit, RuleSet
from rhythms.engine.space.conflict import conflict_in_words
from tests.engine import brute_force
from tests.engine.space.test_exactness import assert_holds

KIT = Kit.of(["snare", "high tom", "floor tom", "bass drum"])
BARS = (
    ("1 2 3 4", "4/4"),
    ("1 & 2 &", "2/4"),
    ("1 e & a 2 e & a", "2/4"),
    ("1 e & 2 e & a", "2/4"),
    ("1 2 & 3 & 4", "4/4"),
    ("(1) (2) 3 & 4 &", "4/4"),
    ("1 2 | 1 2", "2/4"),
    ("1 2 3 4 5 6", "6/8"),
)
SAME_SURFACES, SAME_MOVES = {"rule": "answer"}, {"rule": "answer", "keeps": "moves"}


@pytest.mark.parametrize(("counts", "meter"), BARS)
@pytest.mark.parametrize(
    "rules",
    [
        [SAME_SURFACES],
        [SAME_MOVES],
        [SAME_SURFACES, {"rule": "at most in a row", "n": 2}],
        [SAME_MOVES, {"rule": "end on", "surfaces": ["bass drum"]}],
        [{"rule": "groups", "n": 3}],
        [{"rule": "round the kit", "way": "down", "drums": 2}],
        [{"rule": "start on", "surfaces": ["snare", "rim shot"]}, SAME_SURFACES],
        [{"rule": "end on", "surfaces": ["toms", "rim shot"]}, SAME_MOVES],
    ],
    ids=str,
)
def test_a_bar_with_halves_allows_exactly_the_fills_that_listing_finds(counts, meter, rules):
    bar = Bar.from_counts(counts, meter)
    space = FillSpace(bar, RuleSet.from_json(rules), KIT)
    assert space.size > 0
    assert_holds(space, brute_force.fills(bar, rules, KIT))


def test_an_answer_says_the_beginning_again_and_ends_elsewhere():
    space = FillSpace(Bar.from_counts("1 & 2 & 3 & 4 &"), RuleSet.from_json([SAME_SURFACES]), KIT)
    # Three said again, one left to each half, and their last ones differ.
    assert space.size == 3**3 * 3 * 2
    for rank in range(space.size):
        first, second = (space.fill(rank).strokes[at : at + 4] for at in (0, 4))
        assert first[:3] == second[:3]
        assert first[3] != second[3]


@pytest.mark.parametrize(
    ("counts", "meter", "words"),
    [
        ("1 & 2 & 3 &", "3/4", "a fill of 3 beats has no halves"),
        ("(1) (2) (3) 4 &", "4/4", "a fill of 1 beat has no halves"),
        ("1 & 2 & 3 4", "4/4", ""),
        ("1 2 - (4) a", "4/4", "too few notes at the same places"),
    ],
)
def test_a_bar_without_halves_says_so(counts, meter, words):
    space = FillSpace(Bar.from_counts(counts, meter), RuleSet.from_json([SAME_MOVES]), KIT)
    assert bool(space.size) == (not words)
    if words:
        assert words in conflict_in_words(space)
