"""Overlay stickings against the published rudiment sheet and tables worked out from it.

Letters: the Percussive Arts Society's International Drum Rudiments, numbers 1, 5, 6, 8, 16 to
19 (from memory; 1, 5 to 8 and 16 to 18 agree with an independent published list). Rotations
and rudiments "as even notes" are common practice. Strings over one bar worked out by hand.
"""

from __future__ import annotations

import pytest

from rhythms.engine import Bar, FillSpace, Kit, RuleSet
from rhythms.engine.rules.rudiments import ACCENTS, OVERLAYS, cycle

STATEMENTS = {
    "single stroke roll": "R L",
    "triple stroke roll as even notes": "R R R L L L",
    "double stroke roll": "R R L L",
    "six stroke roll as even notes": "R L L R R L",
    "single paradiddle": "R L R R L R L L",
    "double paradiddle": "R L R L R R L R L R L L",
    "triple paradiddle": "R L R L R L R R L R L R L R L L",
    "paradiddle-diddle": "R L R R L L",
}
ONE_BAR_OF_16THS = {
    "single stroke roll": "RLRLRLRLRLRLRLRL",
    "double stroke roll": "RRLLRRLLRRLLRRLL",
    "single paradiddle": "RLRRLRLLRLRRLRLL",
    "double paradiddle": "RLRLRRLRLRLLRLRL",
    "triple paradiddle": "RLRLRLRRLRLRLRLL",
    "paradiddle-diddle": "RLRRLLRLRRLLRLRR",
}


@pytest.mark.parametrize(("name", "statement"), STATEMENTS.items())
def test_letters_are_those_of_the_sheet(name, statement):
    assert OVERLAYS[name] == statement.replace(" ", "")


#: The sheet's accents, above the letters they stand over; the rudiments not named have none.
ACCENTED = {
    "six stroke roll as even notes": "R* L L R R L*",
    "single paradiddle": "R* L R R L* R L L",
    "double paradiddle": "R* L R L R R L* R L R L L",
    "triple paradiddle": "R* L R L R L R R L* R L R L R L L",
    "paradiddle-diddle": "R* L R R L L",
}


@pytest.mark.parametrize("name", OVERLAYS)
def test_accents_are_those_of_the_sheet(name):
    letters = ACCENTED.get(name, "").split()
    assert ACCENTS.get(name, set()) == {k for k, each in enumerate(letters) if each[-1] == "*"}


def test_a_paradiddle_begins_with_an_accent_of_the_leading_hand():
    rule = {"rule": "sticking", "rudiment": "single paradiddle", "accents": "rudiment"}
    space = FillSpace(
        Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a"),
        RuleSet.from_json([rule, {"rule": "placement", "surfaces": ["snare"]}]),
        Kit.standard(),
    )
    assert space.size == 1
    played = space.fill(0).strokes
    assert "".join(stroke.limb for stroke in played) == ONE_BAR_OF_16THS["single paradiddle"]
    assert [k for k, stroke in enumerate(played) if stroke.dynamic == "accent"] == [0, 4, 8, 12]


@pytest.mark.parametrize("rotation", [2, 3, 5])
def test_rotations_are_the_paradiddle_started_later(rotation):
    paradiddle = OVERLAYS["single paradiddle"]
    assert OVERLAYS[f"paradiddle rotation {rotation}"] == (
        paradiddle[rotation:] + paradiddle[:rotation]
    )


@pytest.mark.parametrize(("name", "bar"), ONE_BAR_OF_16THS.items())
def test_a_bar_of_16ths_takes_the_letters_in_turn(name, bar):
    letters = cycle(name, "R")
    assert "".join(letters[k % len(letters)] for k in range(16)) == bar


@pytest.mark.parametrize("name", OVERLAYS)
def test_both_hands_play_equally_often_in_a_cycle(name):
    assert OVERLAYS[name].count("R") == OVERLAYS[name].count("L")


def test_the_two_halves_of_a_paradiddle_are_mirror_images():
    letters = cycle("single paradiddle", "R")
    assert letters[4:] == cycle("single paradiddle", "L")[:4]


def test_no_overlay_is_missing():
    assert len(OVERLAYS) == 11
