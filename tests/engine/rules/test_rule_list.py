"""Rule sets: JSON both ways, sentences, and errors that say which rule and field."""

from __future__ import annotations

import pytest

from rhythms.engine import RuleSet
from rhythms.engine.errors import RuleError
from rhythms.engine.rules import REGISTRY
from rhythms.engine.rules.base import PURPOSES
from tests.engine.space.test_fill_space import placement, sticking

SNARE_16THS = placement(["snare"], "16th")


@pytest.mark.parametrize(
    "rule",
    [
        SNARE_16THS,
        placement({"anything but": ["toms", "ride"]}),
        sticking("16th", "eighth triplet", follow="grid", restart="beat", others="free", lead="L"),
        sticking(),
    ],
)
def test_a_rule_keeps_its_json_form(rule):
    assert RuleSet.from_json([rule]).to_json() == [rule]


def test_a_sticking_has_defaults():
    assert RuleSet.from_json([{"rule": "sticking", "rudiment": "single paradiddle"}]).to_json() == [
        sticking()
    ]


@pytest.mark.parametrize(
    ("rule", "sentence"),
    [
        (SNARE_16THS, "16ths go on the snare."),
        (
            placement(["anything"], "eighth", "quarter"),
            "Eighths and quarters go anywhere on the kit.",
        ),
        (
            placement(["toms", "cymbals", "cowbell"]),
            "All notes go on the toms, cymbals or cowbell.",
        ),
        (
            placement(["open hi-hat", "half-open hi-hat"]),
            "All notes go on the open hi-hat or half-open hi-hat.",
        ),
        (
            placement(["snare", "cross-stick", "rim shot"], "16th"),
            "16ths go on the snare or with a rim click or rim shot.",
        ),
        (placement(["stick on stick"]), "All notes go stick on stick."),
        (
            placement({"anything but": ["ride", "crash"]}, "eighth triplet"),
            "Eighth triplets go anywhere but on the ride or crash.",
        ),
        (
            sticking("16th"),
            (
                "A single paradiddle on the 16ths, right hand first; "
                "the other notes alternate from the stroke before."
            ),
        ),
        (
            sticking(lead="L", follow="grid", restart="beat"),
            (
                "A single paradiddle on all notes, left hand first, by their place on the grid, "
                "starting again on each beat."
            ),
        ),
        (
            sticking() | {"accents": "rudiment"},
            "A single paradiddle on all notes, right hand first, with its accents.",
        ),
        (
            sticking() | {"rudiment": "single stroke roll", "accents": "rudiment"},
            "A single stroke roll on all notes, right hand first.",
        ),
        (
            sticking("16th") | {"rudiment": "inverted flam tap", "accents": "rudiment"},
            (
                "An inverted flam tap on the 16ths, right hand first, with its accents; "
                "the other notes alternate from the stroke before."
            ),
        ),
        (
            sticking(lead="L") | {"rudiment": "Lesson 25"},
            "Lesson 25 on all notes, left hand first.",
        ),
    ],
)
def test_a_rule_says_itself_as_a_teacher_would(rule, sentence):
    assert RuleSet.from_json([rule]).sentences() == (sentence,)


@pytest.mark.parametrize(
    ("rules", "rule", "field", "words"),
    [
        ({}, None, None, "list of rules"),
        ([3], 0, "rule", "not a rule"),
        ([{"rule": "loudness"}], 0, "rule", "there are .*placement"),
        ([SNARE_16THS, {"rule": "placement"}], 1, "surfaces", "at least one surface"),
        ([placement([])], 0, "surfaces", "at least one name"),
        ([placement("snare")], 0, "surfaces", "list"),
        ([placement(["gong"])], 0, "surfaces", "gong"),
        ([placement([["snare"]])], 0, "surfaces", "not known"),
        ([placement({"all but": ["snare"]})], 0, "surfaces", "anything but"),
        ([placement(["snare"], "crotchet")], 0, "values", "crotchet"),
        ([{**SNARE_16THS, "values": []}], 0, "values", "at least one"),
        ([{**SNARE_16THS, "loud": True}], 0, "loud", "not part of a placement"),
        ([{"rule": "sticking"}], 0, "rudiment", "missing"),
        ([sticking(rudiment="gong roll")], 0, "rudiment", "gong roll"),
        ([sticking(lead="X")], 0, "lead", "R or L"),
        ([sticking(follow="ear")], 0, "follow", "notes or grid"),
        ([SNARE_16THS] * 61, None, None, "at most 60"),
    ],
)
def test_a_rule_that_cannot_be_read_is_named_with_its_field(rules, rule, field, words):
    with pytest.raises(RuleError, match=words) as caught:
        RuleSet.from_json(rules)
    assert (caught.value.rule, caught.value.field) == (rule, field)


@pytest.mark.parametrize("rule", REGISTRY.values(), ids=lambda rule: rule.name)
def test_every_rule_describes_its_form(rule):
    assert rule.title
    assert rule.purpose in PURPOSES
    for field in rule.fields:
        kinds = {"values", "surfaces", "hand surfaces", "choice", "number", "text", "words"}
        assert field.kind in kinds
        assert (field.kind == "choice") == bool(field.choices)
        assert not field.choices or field.default in {choice.value for choice in field.choices}


OTHER_RULES = [
    (
        {"rule": "hand stays", "hand": "R", "surfaces": ["ride", "ride bell"]},
        "The right hand stays on the ride or ride bell.",
    ),
    (
        {"rule": "hand stays", "hand": "L", "surfaces": ["snare"], "values": ["16th"]},
        "On the 16ths, the left hand stays on the snare.",
    ),
    (
        {"rule": "groups", "n": 3, "pattern": "3-3-2"},
        "Groups of 3, 3 and 2: one surface begins each of them, and is struck nowhere else.",
    ),
    (
        {"rule": "phrase", "bars": "4", "smaller": 2},
        "A phrase of 4 bars: the fill at its end, its last 2 beats half-way.",
    ),
    (
        {"rule": "phrase", "bars": "2", "smaller": 0},
        "A phrase of 2 bars: the fill at its end.",
    ),
    ({"rule": "play backwards"}, "The rhythm is played backwards, from its end to its start."),
    (
        {"rule": "start later"},
        "The rhythm starts on the &, an eighth later; its end is left off.",
    ),
    (
        {"rule": "start later", "on": "e"},
        "The rhythm starts on the e, a 16th later; its end is left off.",
    ),
    (
        {"rule": "own answer"},
        "After it, as long again is left open for the player’s own answer.",
    ),
    ({"rule": "at most in a row", "n": 2}, "At most 2 strokes in a row on one surface."),
    ({"rule": "at most in a row", "n": 1}, "At most 1 stroke in a row on one surface."),
    (
        {"rule": "hands apart"},
        "A hand never strikes where the other one struck last, except on the snare.",
    ),
    ({"rule": "break the path", "k": 3}, "No walk of 3 or more toms in order, down or up."),
    (
        {"rule": "break the path", "k": 2, "repeats": "goes on"},
        "No walk of 2 or more toms in order, down or up, doubles or not.",
    ),
    ({"rule": "visit at least", "surfaces": 4}, "Visit at least 4 surfaces."),
    ({"rule": "use at most", "surfaces": 4}, "Use at most 4 surfaces."),
    ({"rule": "no hand crosses"}, "The hands never cross."),
    ({"rule": "start on", "surfaces": ["snare"]}, "The fill starts on the snare."),
    ({"rule": "end on", "surfaces": ["toms", "crash"]}, "The fill ends on the toms or crash."),
    (
        {"rule": "round the kit", "drums": 3},
        "Down the kit over at least 3 drums, and never back.",
    ),
    (
        {"rule": "round the kit", "way": "up", "drums": 2},
        "Up the kit over at least 2 drums, and never back.",
    ),
    (
        {"rule": "groups", "n": 3},
        "Groups of three: one surface has every third stroke, from the first on, and no other.",
    ),
    (
        {"rule": "answer"},
        "The second half begins on the same surfaces as the first, and ends elsewhere.",
    ),
    (
        {"rule": "answer", "keeps": "moves"},
        "The second half stays and moves as the first did, from another surface on.",
    ),
    (
        {"rule": "alternate families"},
        "Each stroke changes family: snare, toms, cymbals, bells, feet.",
    ),
    ({"rule": "doubles together"}, "Both strokes of a double are on one surface."),
    (
        {"rule": "dynamics", "position": "off the beat", "dynamic": "ghost"},
        "Notes off the beat are ghosted.",
    ),
    (
        {"rule": "dynamics", "values": ["16th"], "dynamic": "accent", "n": 3},
        "Exactly 3 accents among the 16ths.",
    ),
    (
        {"rule": "ornament", "accent": "accented", "ornament": "flam", "lead": "R"},
        "Accented notes are flams, right hand leading.",
    ),
    (
        {"rule": "ornament", "counts": ["1", "3"], "ornament": "drag", "n": 1},
        "Exactly 1 drag among the notes on 1 and 3.",
    ),
    (
        {"rule": "ornament", "values": ["eighth"], "ornament": "buzz"},
        "Eighths are buzzes.",
    ),
    (
        {
            "rule": "both hands",
            "accent": "accented",
            "one": ["snare"],
            "other": ["floor tom"],
        },
        (
            "Accented notes are struck by both hands at once, one on the snare, "
            "the other on the floor tom."
        ),
    ),
    (
        {
            "rule": "both hands",
            "values": ["16th"],
            "one": ["anything"],
            "other": {"anything but": ["cymbals"]},
            "n": 2,
        },
        (
            "Both hands at once on exactly 2 of the 16ths, one anywhere on the kit, "
            "the other anywhere but on the cymbals."
        ),
    ),
    (
        {"rule": "both hands", "one": ["toms"], "other": ["snare"], "n": 1},
        "Both hands at once on exactly 1 note, one on the toms, the other on the snare.",
    ),
    (
        {"rule": "foot under", "foot": "bass drum", "surfaces": ["crash"]},
        "The bass drum goes under every stroke on the crash.",
    ),
    (
        {
            "rule": "foot under",
            "position": "on the beat",
            "foot": "hi-hat foot",
            "surfaces": ["ride", "ride bell"],
            "when": "maybe",
        },
        "On notes on the beat, the hi-hat foot may go under strokes on the ride or ride bell.",
    ),
    (
        {"rule": "feet", "on": "rests", "foot": "bass drum"},
        "The rests are played on the bass drum.",
    ),
    (
        {"rule": "feet", "values": ["eighth"], "on": "notes", "foot": "either foot"},
        "Eighths are played by either foot.",
    ),
    ({"rule": "feet keep going", "pattern": "samba"}, "The feet keep going: samba."),
    (
        {
            "rule": "feet keep going",
            "pattern": "typed",
            "bass_drum": "1 3 &",
            "hi_hat_foot": "2> 4>",
            "meter": "4/4",
        },
        "The feet keep going: bass drum on 1 3 &, hi-hat foot on 2> 4>, in 4/4.",
    ),
    (
        {"rule": "linear", "values": ["16th"], "pattern": "RLFH"},
        (
            "Hands and feet in turn on the 16ths: R L F H, "
            "F on the bass drum and H on the hi-hat foot."
        ),
    ),
]


@pytest.mark.parametrize(("rule", "sentence"), OTHER_RULES)
def test_every_rule_keeps_its_json_form_and_says_itself(rule, sentence):
    rules = RuleSet.from_json([rule])
    assert rules.to_json() == [rule]
    assert rules.sentences() == (sentence,)


def test_every_rule_is_in_these_tests():
    listed = {rule["rule"] for rule, _ in OTHER_RULES} | {"placement", "sticking"}
    assert listed == set(REGISTRY)


@pytest.mark.parametrize(
    ("rule", "field", "words"),
    [
        ({"rule": "at most in a row"}, "n", "missing"),
        ({"rule": "at most in a row", "n": 0}, "n", "from 1 to 64"),
        ({"rule": "at most in a row", "n": True}, "n", "whole number"),
        ({"rule": "hands apart", "n": 2}, "n", "not part of"),
        ({"rule": "break the path", "k": 1}, "k", "from 2"),
        ({"rule": "break the path", "k": 3, "repeats": "stops"}, "repeats", "ends or goes on"),
        ({"rule": "visit at least", "surfaces": ["snare"]}, "surfaces", "whole number"),
        ({"rule": "start on"}, "surfaces", "at least one"),
        ({"rule": "hand stays", "hand": "R"}, "surfaces", "at least one"),
        (
            {"rule": "hand stays", "hand": "R", "surfaces": ["ride", "bass drum"]},
            "surfaces",
            "bass drum is played by a foot",
        ),
        ({"rule": "groups", "n": 3, "pattern": "3-0-2"}, "pattern", "such as 3-3-2"),
        ({"rule": "groups", "n": 3, "pattern": 5}, "pattern", "needs a text"),
        ({"rule": "start later", "on": "2"}, "on", "&, e or a"),
        ({"rule": "phrase", "bars": "3", "smaller": 1}, "bars", "2 or 4"),
        ({"rule": "phrase", "bars": "4", "smaller": 5}, "smaller", "from 0 to 4"),
        ({"rule": "dynamics", "dynamic": "loud"}, "dynamic", "accent or ghost"),
        ({"rule": "dynamics", "dynamic": "ghost", "n": -1}, "n", "from 0"),
        ({"rule": "ornament", "ornament": "ruff"}, "ornament", "flam, drag, diddle or buzz"),
        ({"rule": "both hands", "other": ["snare"]}, "one", "at least one surface"),
        ({"rule": "both hands", "one": ["gong"], "other": ["snare"]}, "one", "gong"),
        (
            {"rule": "both hands", "one": ["snare"], "other": ["toms", "bass drum"]},
            "other",
            "bass drum is played by a foot",
        ),
        ({"rule": "both hands", "one": ["snare"], "other": ["rim shot"]}, "other", "are a flam"),
        (
            {"rule": "both hands", "one": ["stick on stick"], "other": ["snare"]},
            "one",
            "takes both hands",
        ),
        ({"rule": "both hands", "one": ["snare"], "other": ["toms"], "n": -1}, "n", "from 0"),
        ({"rule": "foot under", "foot": "left"}, "foot", "bass drum or hi-hat foot"),
        (
            {"rule": "foot under", "surfaces": ["hi-hat foot"]},
            "surfaces",
            "hi-hat foot is played by a foot",
        ),
        ({"rule": "foot under", "when": "often"}, "when", "always or maybe"),
        ({"rule": "feet", "foot": "left"}, "foot", "bass drum"),
        ({"rule": "linear", "pattern": ""}, "pattern", "such as RLF"),
        ({"rule": "linear", "pattern": "RLX"}, "pattern", "not a limb"),
        ({"rule": "placement", "surfaces": ["snare"], "counts": ["5 x"]}, "counts", "not a count"),
        ({"rule": "placement", "surfaces": ["snare"], "position": "late"}, "position", "off the"),
        ({"rule": "placement", "surfaces": ["snare"], "accent": 3}, "accent", "accented"),
    ],
)
def test_a_part_that_cannot_be_read_is_named(rule, field, words):
    with pytest.raises(RuleError, match=words) as caught:
        RuleSet.from_json([rule])
    assert caught.value.field == field


@pytest.mark.parametrize("typed", ["3 3 2", "3+3+2", " 3, 3, 2 ", "3-3-2"])
def test_a_row_of_groups_may_be_typed_with_what_stands_between_numbers(typed):
    [rule] = RuleSet.from_json([{"rule": "groups", "n": 3, "pattern": typed}]).rules
    assert rule.lengths == (3, 3, 2)


def test_mirroring_swaps_every_leading_hand_and_nothing_else():
    rules = RuleSet.from_json(
        [
            {"rule": "ornament", "ornament": "flam", "lead": "R"},
            {"rule": "linear", "pattern": "RLF"},
            {"rule": "hands apart"},
            {"rule": "hand stays", "hand": "R", "surfaces": ["ride"]},
        ]
    )
    assert rules.mirrored().to_json() == [
        {"rule": "ornament", "ornament": "flam", "lead": "L"},
        {"rule": "linear", "pattern": "LRF"},
        {"rule": "hands apart"},
        {"rule": "hand stays", "hand": "L", "surfaces": ["ride"]},
    ]
