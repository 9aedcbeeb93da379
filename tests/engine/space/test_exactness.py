"""All rules together against listing every fill, one by one."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet, Stroke, Surface
from rhythms.engine.fills.fill import Hit
from rhythms.engine.rules import REGISTRY
from rhythms.engine.rules.scope import SCOPE_FIELDS
from rhythms.engine.space.conflict import conflict
from rhythms.engine.space.explain import explain
from tests.engine import brute_force
from tests.engine.rules_at_random import BARS, bars, kits, rule_sets, rules
from tests.thoroughness import examples

MOST_TO_LIST = 8**4
slowly = examples(600, quick=150)


def small_enough(space: FillSpace) -> bool:
    reach = 1
    for strokes in space.within_reach:
        reach *= len(strokes)
    return reach <= MOST_TO_LIST


def struck(fill: Fill) -> tuple[brute_force.Struck, ...]:
    return tuple(
        brute_force.Struck(blows(s.hand_hits), blows(s.foot_hits), s.ornament) for s in fill.strokes
    )


def blows(hits: tuple[Hit, ...]) -> tuple[brute_force.Blow, ...]:
    return tuple(brute_force.Blow(str(hit.surface), hit.limb, hit.dynamic) for hit in hits)


def assert_holds(space: FillSpace, listed: list[tuple[brute_force.Struck, ...]]) -> None:
    """It has these fills, and each of them its number."""
    assert space.size == len(listed)
    fills = [space.fill(rank) for rank in range(space.size)]
    assert [struck(fill) for fill in fills] == listed
    assert [space.rank(fill) for fill in fills] == list(range(space.size))
    assert all(fill in space for fill in fills)


@slowly
@given(bars, rule_sets, kits)
def test_a_space_holds_exactly_the_fills_that_listing_finds(bar, rules, kit):
    space = FillSpace(bar, RuleSet.from_json(rules), kit)
    assume(small_enough(space))
    assert_holds(space, brute_force.fills(bar, rules, kit))


#: One of each kind, and each way of a kind.
RULES = [
    {"rule": "placement", "surfaces": ["snare"]},
    {"rule": "placement", "surfaces": {"anything but": ["snare"]}},
    {"rule": "placement", "surfaces": ["snare", "bass drum"]},
    {"rule": "placement", "surfaces": ["floor tom", "rim shot", "stick on stick"]},
    {"rule": "both hands", "one": ["snare"], "other": ["anything"]},
    {"rule": "both hands", "one": ["anything"], "other": {"anything but": ["snare"]}, "n": 1},
    {"rule": "foot under", "foot": "bass drum", "surfaces": ["toms"]},
    {"rule": "foot under", "foot": "hi-hat foot", "surfaces": ["anything"], "when": "maybe"},
    {"rule": "linear", "pattern": "RLF"},
    {"rule": "linear", "pattern": "HRL"},
    {"rule": "feet", "on": "notes", "foot": "either foot"},
    {"rule": "feet", "on": "rests", "foot": "bass drum"},
    *(
        {"rule": "sticking", "rudiment": "single paradiddle", "lead": "L"} | ways
        for ways in (
            {"follow": "notes", "restart": "never", "others": "free"},
            {"follow": "notes", "restart": "beat", "others": "alternate"},
            {"follow": "grid", "restart": "never", "others": "grid"},
        )
    ),
    {"rule": "dynamics", "dynamic": "ghost"},
    {"rule": "dynamics", "dynamic": "accent", "n": 1},
    {"rule": "ornament", "ornament": "flam", "lead": "R"},
    {"rule": "ornament", "ornament": "diddle", "n": 2},
    {"rule": "at most in a row", "n": 2},
    {"rule": "hands apart"},
    {"rule": "no hand crosses"},
    {"rule": "break the path", "k": 2},
    {"rule": "break the path", "k": 2, "repeats": "goes on"},
    {"rule": "visit at least", "surfaces": 3},
    {"rule": "use at most", "surfaces": 2},
    {"rule": "alternate families"},
    {"rule": "groups", "n": 3},
    {"rule": "groups", "n": 3, "pattern": "2-1"},
    {"rule": "round the kit", "way": "up", "drums": 2},
    {"rule": "answer"},
    {"rule": "answer", "keeps": "moves"},
    {"rule": "doubles together"},
    {"rule": "start on", "surfaces": ["snare"]},
    {"rule": "end on", "surfaces": ["bass drum"]},
    {"rule": "feet keep going", "pattern": "four on the floor"},
    {"rule": "feet keep going", "pattern": "samba"},
    {"rule": "feet keep going", "pattern": "typed", "hi_hat_foot": "1 & a", "meter": "2/4"},
    {"rule": "hand stays", "hand": "L", "surfaces": ["snare"]},
    {"rule": "play backwards"},
    {"rule": "start later"},
    {"rule": "start later", "on": "a"},
    {"rule": "own answer"},
    {"rule": "phrase", "bars": "2", "smaller": 1},
]
SCOPES = [
    {},
    {"values": ["16th"]},
    {"position": "off the beat"},
    {"counts": ["1", "2"]},
    {"accent": "accented"},
]
FEW = Kit.of(["snare", "floor tom", "bass drum", "hi-hat foot"])
TOMS = Kit.of(["snare", "high tom", "mid tom", "bass drum"])
HATS = Kit.of(["snare", "floor tom", "hi-hat"])
#: Ways of striking on a note that has them open, and on the first one of the fill.
WAYS = [
    {
        "rule": "placement",
        "position": "on the beat",
        "surfaces": ["toms", "open hi-hat", "rim shot"],
    },
    {"rule": "start on", "surfaces": ["hi-hat", "half-open hi-hat", "stick on stick"]},
]


def test_every_kind_of_rule_is_listed_alone():
    assert {rule["rule"] for rule in RULES} == set(REGISTRY)


@pytest.mark.parametrize("rule", RULES, ids=str)
def test_a_rule_alone_allows_exactly_the_fills_that_listing_finds(rule):
    has_scope = set(SCOPE_FIELDS) <= set(REGISTRY[rule["rule"]].fields)
    kit, scopes = (FEW, SCOPES) if has_scope else (TOMS, SCOPES[:1])
    for scope in scopes:
        rules = [{**rule, **scope}]
        spaces = [FillSpace(bar, RuleSet.from_json(rules), kit) for bar in BARS]
        compared = [
            (bar, space) for bar, space in zip(BARS, spaces, strict=True) if small_enough(space)
        ]
        assert len(compared) >= len(BARS) / 2
        for bar, space in compared:
            assert_holds(space, brute_force.fills(bar, rules, kit))


@pytest.mark.parametrize("kit", [FEW, TOMS])
@pytest.mark.parametrize("rule", RULES, ids=str)
def test_a_rule_allows_exactly_what_listing_finds_where_no_stroke_is_left(rule, kit):
    bar, rules = Bar.from_counts("1 e & a", "1/4"), [{"rule": "start later"}] * 2 + [rule]
    assert_holds(FillSpace(bar, RuleSet.from_json(rules), kit), brute_force.fills(bar, rules, kit))


@pytest.mark.parametrize("rule", RULES, ids=str)
def test_a_rule_beside_ways_of_striking_allows_exactly_the_fills_that_listing_finds(rule):
    rules = [*WAYS, rule]
    spaces = [(bar, FillSpace(bar, RuleSet.from_json(rules), HATS)) for bar in BARS]
    compared = [(bar, space) for bar, space in spaces if small_enough(space)]
    assert compared
    for bar, space in compared:
        assert_holds(space, brute_force.fills(bar, rules, HATS))


FEET_ON_HATS = Kit.of(["snare", "hi-hat", "bass drum", "hi-hat foot"])
#: The hi-hat, open or not, on any note, and feet of which one closes it.
OPEN_HATS = [
    {"rule": "placement", "surfaces": ["snare", "hi-hat", "open hi-hat", "half-open hi-hat"]},
    {"rule": "both hands", "one": ["snare"], "other": ["open hi-hat"], "n": 1},
    {"rule": "ornament", "ornament": "diddle", "n": 1},
    {"rule": "foot under", "foot": "hi-hat foot", "surfaces": ["anything"], "when": "maybe"},
    {"rule": "foot under", "foot": "hi-hat foot", "surfaces": ["cymbals"]},
]
CLOSING = [
    {"rule": "feet keep going", "pattern": "hi-hat foot on 2 and 4"},
    {"rule": "feet keep going", "pattern": "samba"},
    *(
        {"rule": "feet keep going", "pattern": "typed", "hi_hat_foot": line, "meter": "2/4"}
        for line in ("1", "(1) &", "1 & a")
    ),
]
ON_TWO_BEATS = [
    Bar.from_counts(line, meter)
    for line, meter in [
        ("1 & 2", "2/4"),
        ("1 (&) 2 e", "2/4"),
        ("1 2 -& a", "2/4"),
        ("1 2 | (1) & 2", "2/4"),
    ]
]


@pytest.mark.parametrize("bar", ON_TWO_BEATS, ids=str)
@pytest.mark.parametrize("asked", OPEN_HATS, ids=str)
@pytest.mark.parametrize("feet", CLOSING, ids=lambda rule: rule.get("hi_hat_foot", rule["pattern"]))
def test_no_hi_hat_is_open_where_feet_that_keep_going_close_it(bar, asked, feet):
    rules = list({rule["rule"]: rule for rule in (OPEN_HATS[0], asked)}.values())
    closing = FillSpace(bar, RuleSet.from_json([*rules, feet]), FEET_ON_HATS)
    assert_holds(closing, brute_force.fills(bar, [*rules, feet], FEET_ON_HATS))
    assert closing.size > 0


#: Hands together and a foot under them, wherever a rule may look.
TOGETHER = [
    {"rule": "both hands", "one": ["anything"], "other": ["anything"], "n": 2},
    {"rule": "foot under", "foot": "bass drum", "surfaces": ["toms"], "when": "maybe"},
]
SHORT = [
    Bar.from_counts(line, meter)
    for line, meter in [
        ("1 &", "1/4"),
        ("1 & a", "1/4"),
        ("1> e (&) a>", "1/4"),
        ("1 & 2 &", "2/4"),
    ]
]
DRUMS = Kit.of(["high tom", "mid tom", "floor tom", "bass drum"])


@pytest.mark.parametrize("rule", RULES, ids=str)
@pytest.mark.parametrize("kit", [Kit.of(["snare", "floor tom", "bass drum"]), DRUMS, HATS])
def test_a_rule_beside_strokes_together_allows_exactly_the_fills_that_listing_finds(rule, kit):
    rules = [*TOGETHER, rule]
    spaces = [(bar, FillSpace(bar, RuleSet.from_json(rules), kit)) for bar in SHORT]
    compared = [(bar, space) for bar, space in spaces if small_enough(space)]
    assert compared
    for bar, space in compared:
        assert_holds(space, brute_force.fills(bar, rules, kit))


@examples(150, quick=60)
@given(bars, rule_sets, kits)
def test_whatever_is_within_reach_is_in_the_space_only_if_every_rule_allows_it(bar, rules, kit):
    space = FillSpace(bar, RuleSet.from_json(rules), kit)
    case = brute_force.played(bar, rules, kit)
    for shift in range(7):
        strokes = tuple(
            reach[(shift * 5 + note) % len(reach)] for note, reach in enumerate(space.within_reach)
        )
        fill = Fill(space.setting.bar, strokes)
        allowed = all(brute_force.obeys(rule, case, struck(fill)) for rule in rules)
        assert (fill in space) == allowed


@examples(150, quick=60)
@given(bars, rule_sets, kits)
def test_a_sample_is_in_the_space_without_repeats(bar, rules, kit):
    space = FillSpace(bar, RuleSet.from_json(rules), kit)
    sample = space.sample(min(20, space.size), seed=5)
    assert len(set(sample)) == len(sample)
    assert all(fill in space for fill in sample)


@examples(150, quick=60)
@given(bars, rule_sets, kits)
def test_explanations_find_every_broken_rule_and_no_other(bar, rules, kit):
    space = FillSpace(bar, RuleSet.from_json(rules), kit)
    case = brute_force.played(bar, rules, kit)
    strokes = tuple(reach[note % len(reach)] for note, reach in enumerate(space.within_reach))
    fill = Fill(space.setting.bar, strokes)
    verdicts = explain(space, fill)
    for rule, form in zip(space.rule_set.rules, rules, strict=True):
        said_broken = any(v.kept is False for v in verdicts if v.rule is rule)
        assert said_broken == (not brute_force.obeys(form, case, struck(fill)))


@examples(200, quick=60)
@given(bars, st.lists(rules, min_size=2, max_size=5), kits)
def test_a_conflict_is_a_smallest_set_of_rules_that_leaves_no_fill(bar, rules, kit):
    space = FillSpace(bar, RuleSet.from_json(rules), kit)
    found = conflict(space)
    assert bool(found) == (space.size == 0)
    assert not found or space.graph_of(found).size == 0
    smaller = brute_force_subsets(space.rule_set.rules, len(found))
    assert all(space.graph_of(subset).size for subset in smaller)


def brute_force_subsets(rules: tuple, below: int) -> list[tuple]:
    distinct = tuple(dict.fromkeys(rules))
    subsets = [
        tuple(rule for place, rule in enumerate(distinct) if mask >> place & 1)
        for mask in range(2 ** len(distinct))
    ]
    return [subset for subset in subsets if len(subset) < below]


def test_after_a_broken_rule_it_goes_on_from_the_stroke_that_broke_it():
    bar = Bar.from_counts("1 2 3 4")
    no_repeats = RuleSet.from_json([{"rule": "at most in a row", "n": 1}])
    space = FillSpace(bar, no_repeats, Kit.standard())
    snare, ride = Stroke(Surface.SNARE), Stroke(Surface.RIDE)
    verdicts = explain(space, Fill(bar, (snare, snare, snare, ride)))
    assert [verdict.note for verdict in verdicts if verdict.kept is False] == [1, 2]


def test_a_hand_that_is_not_known_leaves_rules_about_hands_open():
    bar = Bar.from_counts("1 2", "2/4")
    paradiddle = {"rule": "sticking", "rudiment": "single paradiddle"}
    space = FillSpace(bar, RuleSet.from_json([paradiddle, {"rule": "hands apart"}]), Kit.standard())
    verdicts = explain(space, Fill(bar, (Stroke(Surface.RIDE), Stroke(Surface.RIDE))))
    assert [verdict.kept for verdict in verdicts] == [None] * 4
