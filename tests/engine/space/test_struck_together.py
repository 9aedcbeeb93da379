"""What is within reach of a note, in the order that numbers it: against plain listing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, FillSpace, Kit, RuleSet, Stroke
from tests.engine import brute_force
from tests.engine.brute_force.struck_reach import within_reach
from tests.engine.rules_at_random import bars, both_hands, feet, kits, rules
from tests.engine.space.test_exactness import blows
from tests.thoroughness import examples

together = st.tuples(both_hands, feet).map(list)
UNDER_CYMBALS = {"rule": "foot under", "surfaces": ["cymbals"]}
UNDER_TOMS = {"rule": "foot under", "surfaces": ["toms"], "when": "maybe"}


def listed(reach: tuple[Stroke, ...]) -> list[brute_force.Struck]:
    return [brute_force.Struck(blows(s.hand_hits), blows(s.foot_hits), s.ornament) for s in reach]


@examples(300, quick=60)
@given(bars, together, st.lists(rules, max_size=3), kits)
def test_each_note_has_what_plain_listing_has_in_the_same_order(bar, first, more, kit):
    asked = [*first, *more]
    space = FillSpace(bar, RuleSet.from_json(asked), kit)
    case = brute_force.played(bar, asked, kit)
    for note, reach in enumerate(space.within_reach):
        assert listed(reach) == list(within_reach(case, asked, note))


@examples(300, quick=60)
@given(bars, together, st.lists(rules, max_size=3), kits)
def test_no_stroke_is_within_reach_twice_and_no_ornament_of_two_hands(bar, first, more, kit):
    for reach in FillSpace(bar, RuleSet.from_json([*first, *more]), kit).within_reach:
        assert len(set(reach)) == len(reach)
        assert not any(stroke.ornament and stroke.both_hands for stroke in reach)


def reach_of(*asked: dict) -> set[tuple[str, ...]]:
    """The surfaces of each stroke of one note."""
    kit = Kit.of(["snare", "floor tom", "crash", "bass drum", "hi-hat foot"])
    space = FillSpace(Bar.from_counts("1", "1/4"), RuleSet.from_json(list(asked)), kit)
    return {tuple(map(str, stroke.surfaces)) for stroke in space.within_reach[0]}


def test_a_flam_is_of_one_hand_and_two_hands_are_counted_once():
    pair = {"rule": "both hands", "one": ["snare"], "other": ["toms"], "n": 1}
    flam = {"rule": "ornament", "ornament": "flam", "n": 1}
    kit = Kit.of(["snare", "floor tom"])
    space = FillSpace(Bar.from_counts("1", "1/4"), RuleSet.from_json([pair, flam]), kit)
    assert [(s.surfaces, s.ornament) for s in space.within_reach[0]] == [
        (("snare",), None),
        (("snare", "floor tom"), None),
        (("snare",), "flam"),
        (("floor tom",), None),
        (("floor tom",), "flam"),
    ]


ALONE = {("snare",), ("floor tom",), ("crash",)}


@pytest.mark.parametrize("asked", [(UNDER_CYMBALS, UNDER_TOMS), (UNDER_TOMS, UNDER_CYMBALS)])
def test_two_rules_on_one_foot_put_it_under_what_either_names(asked):
    under = {("floor tom", "bass drum"), ("crash", "bass drum")}
    assert reach_of(*asked) == ALONE | under


def test_both_feet_may_be_under_one_hand():
    hat = UNDER_CYMBALS | {"foot": "hi-hat foot"}
    crashes = [(), ("bass drum",), ("hi-hat foot",), ("bass drum", "hi-hat foot")]
    assert reach_of(UNDER_CYMBALS, hat) == ALONE | {("crash", *feet) for feet in crashes}


def test_only_pairs_that_a_rule_names_are_struck_at_once():
    pair = {"rule": "both hands", "one": ["snare"], "other": ["toms", "open hi-hat"], "n": 1}
    assert reach_of(pair) == ALONE | {("snare", "floor tom")}


def test_a_way_of_striking_is_of_a_pair_where_a_rule_names_it():
    kit = Kit.of(["snare", "hi-hat"])
    pair = {"rule": "both hands", "one": ["snare"], "other": ["hi-hat"], "n": 1}
    opened = {"rule": "placement", "surfaces": ["anything", "open hi-hat"], "counts": ["1"]}
    space = FillSpace(Bar.from_counts("1 2", "2/4"), RuleSet.from_json([pair, opened]), kit)
    first, second = ([s.surfaces for s in reach if s.both_hands] for reach in space.within_reach)
    assert first == [("snare", "hi-hat"), ("snare", "open hi-hat")]
    assert second == [("snare", "hi-hat")]
