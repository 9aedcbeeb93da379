"""Overlay stickings against the published rudiment sheet and tables worked out from it.

Letters: the Percussive Arts Society's International Drum Rudiments, numbers 1, 5, 6, 8, 16 to
19 (from memory; 1, 5 to 8 and 16 to 18 agree with an independent published list). Rotations
and rudiments "as even notes" are common practice. Strings over one bar worked out by hand.
"""

from __future__ import annotations

import pytest

from rhythms.engine import Bar, FillSpace, Kit, RuleSet
from rhythms.engine.rudiments.overlays import HANDS_OF, OVERLAYS, STICKINGS, cycle

#: As the sheet writes them, one cycle; rotations and "as even notes" as they are taught.
STATEMENTS = {
    "single stroke roll": "R L",
    "triple stroke roll as even notes": "R R R L L L",
    "double stroke roll": "R R L L",
    "six stroke roll as even notes": "R* L L R R L*",
    "single paradiddle": "R* L R R L* R L L",
    "double paradiddle": "R* L R L R R L* R L R L L",
    "triple paradiddle": "R* L R L R L R R L* R L R L R L L",
    "paradiddle-diddle": "R* L R R L L",
    "paradiddle rotation 2": "R R L R L L R L",
    "paradiddle rotation 3": "R L R L L R L R",
    "paradiddle rotation 5": "R L L R L R R L",
}
ONE_BAR_OF_16THS = {
    "single stroke roll": "RLRLRLRLRLRLRLRL",
    "double stroke roll": "RRLLRRLLRRLLRRLL",
    "single paradiddle": "RLRRLRLLRLRRLRLL",
    "double paradiddle": "RLRLRRLRLRLLRLRL",
    "triple paradiddle": "RLRLRLRRLRLRLRLL",
    "paradiddle-diddle": "RLRRLLRLRRLLRLRR",
}


def test_letters_and_accents_are_those_of_the_sheet():
    found = {
        name: " ".join(letter.hand + "*" * letter.accent for letter in OVERLAYS[name])
        for name in STATEMENTS
    }
    assert found == STATEMENTS


def test_what_is_told_by_its_hands_alone_has_no_ornament():
    assert {
        name: written.replace(" ", "").replace("*", "") for name, written in STATEMENTS.items()
    } == HANDS_OF


def bar_of_16ths(**sticking) -> list:
    rule = {"rule": "sticking", "accents": "rudiment", **sticking}
    space = FillSpace(
        Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a"),
        RuleSet.from_json([rule, {"rule": "placement", "surfaces": ["snare"]}]),
        Kit.standard(),
    )
    assert space.size == 1
    return list(space.fill(0).strokes)


def test_a_paradiddle_begins_with_an_accent_of_the_leading_hand():
    played = bar_of_16ths(rudiment="single paradiddle")
    assert "".join(stroke.limb for stroke in played) == ONE_BAR_OF_16THS["single paradiddle"]
    assert [k for k, stroke in enumerate(played) if stroke.dynamic == "accent"] == [0, 4, 8, 12]


def test_a_flam_paradiddle_over_16ths_is_its_sticking_with_flams_and_accents():
    played = bar_of_16ths(rudiment="flam paradiddle")
    assert "".join(stroke.limb for stroke in played) == "RLRRLRLL" * 2
    assert [k for k, stroke in enumerate(played) if stroke.ornament == "flam"] == [0, 4, 8, 12]
    assert [k for k, stroke in enumerate(played) if stroke.dynamic == "accent"] == [0, 4, 8, 12]


def test_a_single_dragadiddle_over_16ths_has_its_diddles_as_diddles():
    played = bar_of_16ths(rudiment="single dragadiddle", lead="L")
    assert "".join(stroke.limb for stroke in played) == "LRLLRLRR" * 2
    assert [k for k, stroke in enumerate(played) if stroke.ornament == "diddle"] == [0, 4, 8, 12]


@pytest.mark.parametrize("rotation", [2, 3, 5])
def test_rotations_are_the_paradiddle_started_later(rotation):
    paradiddle = HANDS_OF["single paradiddle"]
    assert HANDS_OF[f"paradiddle rotation {rotation}"] == (
        paradiddle[rotation:] + paradiddle[:rotation]
    )


@pytest.mark.parametrize(("name", "bar"), ONE_BAR_OF_16THS.items())
def test_a_bar_of_16ths_takes_the_letters_in_turn(name, bar):
    letters = cycle(name, "R")
    assert "".join(letters[k % len(letters)].hand for k in range(16)) == bar


@pytest.mark.parametrize("name", HANDS_OF)
def test_both_hands_play_equally_often_in_a_cycle(name):
    assert HANDS_OF[name].count("R") == HANDS_OF[name].count("L")


@pytest.mark.parametrize("name", STICKINGS)
def test_the_other_lead_swaps_every_hand_and_nothing_else(name):
    assert cycle(name, "L") == tuple(letter.mirrored for letter in cycle(name, "R"))
    assert [letter[1:] for letter in cycle(name, "L")] == [
        letter[1:] for letter in cycle(name, "R")
    ]


def test_the_two_halves_of_a_paradiddle_are_mirror_images():
    letters = cycle("single paradiddle", "R")
    assert letters[4:] == cycle("single paradiddle", "L")[:4]


#: Stored rule sets name these; one that is renamed could no longer be read.
NAMES_OF_TODAY = {
    "single stroke roll", "double stroke roll", "single paradiddle", "double paradiddle",
    "triple paradiddle", "paradiddle-diddle", "paradiddle rotation 2", "paradiddle rotation 3",
    "paradiddle rotation 5", "six stroke roll as even notes", "triple stroke roll as even notes",
    "multiple bounce roll", "flam", "flam accent", "flam tap", "flam paradiddle",
    "single flammed mill", "flam paradiddle-diddle", "pataflafla", "Swiss Army triplet",
    "inverted flam tap", "flam drag", "drag", "single drag tap", "double drag tap",
    "single dragadiddle",
}  # fmt: skip
IN_THEIR_OWN_RHYTHM = {
    "single stroke four", "single stroke seven", "five stroke roll", "seven stroke roll",
    "nine stroke roll", "ten stroke roll", "eleven stroke roll", "thirteen stroke roll",
    "fifteen stroke roll", "seventeen stroke roll", "flamacue", "Lesson 25", "drag paradiddle #1",
    "drag paradiddle #2", "single ratamacue", "double ratamacue", "triple ratamacue",
}  # fmt: skip


def test_no_overlay_is_missing_or_renamed():
    assert OVERLAYS.keys() == NAMES_OF_TODAY
    assert STICKINGS.keys() == NAMES_OF_TODAY | IN_THEIR_OWN_RHYTHM
