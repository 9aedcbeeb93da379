"""Conflicts: the smallest set of rules that cannot hold together, in words."""

from __future__ import annotations

import pytest

from rhythms.engine import Bar, FillSpace, Kit, RuleSet
from rhythms.engine.space.conflict import conflict, conflict_in_words
from tests.engine.space.test_fill_space import placement, space_of, sticking

TWO_BEATS = Bar.from_counts("1 e & a 2 e & a", "2/4")


def test_a_space_with_fills_has_no_conflict():
    assert conflict(space_of()) == ()
    assert conflict_in_words(space_of()) == ""


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        (
            placement(["splash", "china"], "16th"),
            "“16ths go on the splash or china” cannot hold: this kit has no splash or china.",
        ),
        (
            {"rule": "end on", "surfaces": ["ride bell"]},
            "“The fill ends on the ride bell” cannot hold: this kit has no ride bell.",
        ),
        (
            {"rule": "visit at least", "surfaces": 9},
            "“Visit at least 9 surfaces” cannot hold: this kit has only 8 surfaces for the hands.",
        ),
        (
            {"rule": "visit at least", "surfaces": 14},
            "“Visit at least 14 surfaces” cannot hold: this bar has only 12 notes.",
        ),
        (
            {"rule": "dynamics", "dynamic": "accent", "n": 20},
            "“Exactly 20 accents among all notes” cannot hold: this bar has only 12 notes.",
        ),
        (
            {"rule": "ornament", "ornament": "flam", "n": 5, "values": ["eighth"]},
            "“Exactly 5 flams among the eighths” cannot hold: this bar has only 4 of these notes.",
        ),
        (
            {"rule": "dynamics", "dynamic": "ghost", "n": 1, "values": ["32nd"]},
            "“Exactly 1 ghost note among the 32nds” cannot hold: this bar has none of these notes.",
        ),
    ],
)
def test_a_rule_that_can_never_hold_is_named_alone_with_the_reason(rule, words):
    space = space_of(placement(["snare"], "eighth"), rule, sticking("16th"))
    assert conflict_in_words(space) == words


def test_rules_that_exclude_each_other_are_named_and_no_others():
    space = space_of(placement(["toms"]), sticking("16th"), placement(["cymbals"], "eighth"))
    assert [rule.to_json()["surfaces"] for rule in conflict(space)] == [["toms"], ["cymbals"]]
    assert conflict_in_words(space).endswith("cannot hold together on this bar and kit.")


def test_a_pair_is_found_behind_a_longer_chain_of_rules():
    """The first four rules clash as well, but it takes three of them; two is the smallest."""
    rules = [
        {"rule": "at most in a row", "n": 1},
        {"rule": "use at most", "surfaces": 2},
        {"rule": "start on", "surfaces": ["snare"]},
        {"rule": "end on", "surfaces": ["snare"]},
        placement(["toms"], "16th"),
        {"rule": "visit at least", "surfaces": 4},
    ]
    space = FillSpace(TWO_BEATS, RuleSet.from_json(rules), Kit.standard())
    assert len(conflict(space)) == 2


def test_sixty_rules_are_answered():
    many = [placement({"anything but": ["snare"]}, "16th")] + [
        {"rule": "at most in a row", "n": n} for n in range(2, 40)
    ]
    space = FillSpace(TWO_BEATS, RuleSet.from_json([*many, placement(["snare"])]), Kit.standard())
    assert len(conflict(space)) == 2


def test_a_rule_that_lacks_nothing_and_still_leaves_no_fill_is_named_alone():
    pad = Kit.of(["snare"])
    rules = RuleSet.from_json([{"rule": "alternate families"}])
    assert conflict_in_words(FillSpace(TWO_BEATS, rules, pad)) == (
        "“Each stroke changes family: snare, toms, cymbals, bells, feet” "
        "cannot hold on this bar and kit."
    )
