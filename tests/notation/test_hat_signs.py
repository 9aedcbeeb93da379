"""The signs above a hi-hat, in engravings and in MusicXML."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from lxml import etree
from music21 import converter

from rhythms.engine import Bar, Fill, Meter, Stroke, Surface
from rhythms.engine.fills.ostinato import FootHit, ostinato
from rhythms.notation import musicxml, svg
from rhythms.notation.engraving.legend import legend_svg
from rhythms.notation.hat_signs import hat_signs
from tests.strategies import fills
from tests.thoroughness import examples

BAR = Bar.from_counts("1 2 3 4")
OPEN, HALF, HAT, FOOT = (
    Surface.OPEN_HI_HAT,
    Surface.HALF_OPEN_HI_HAT,
    Surface.HI_HAT,
    Surface.HI_HAT_FOOT,
)
SNARE = Surface.SNARE
few = examples(60, quick=20)
SVG = "{http://www.w3.org/2000/svg}"


def fill(*surfaces: Surface) -> Fill:
    return Fill(BAR, tuple(Stroke(one, "LF" if one is FOOT else None) for one in surfaces))


def glyphs(drawn: str, group: str) -> list[str]:
    """The glyphs of one stroke by SMuFL's numbers, without the head."""
    found = etree.fromstring(drawn.encode()).find(f".//{SVG}g[@id='{group}']")
    names = [use.get("href") for use in found.iter(f"{SVG}use")]
    return [re.sub(r".*-", "", name) for name in names[1:]]


@pytest.mark.parametrize(
    ("surfaces", "signs"),
    [
        ((HAT, HAT, HAT, HAT), ("", "", "", "")),
        ((OPEN, HAT, HAT, OPEN), ("open", "closed", "", "open")),
        ((OPEN, OPEN, SNARE, HAT), ("open", "open", "", "closed")),
        ((HALF, HAT, OPEN, HALF), ("half-open", "closed", "open", "half-open")),
        ((OPEN, FOOT, HAT, SNARE), ("open", "", "", "")),
    ],
)
def test_a_closed_hi_hat_has_a_sign_only_where_the_stick_closes_an_open_one(surfaces, signs):
    assert hat_signs(fill(*surfaces)) == signs


def test_a_foot_that_keeps_going_closes_it_too():
    on_two = ostinato("mine", Meter(4, 4), [FootHit(Fraction(1), FOOT)])
    over = replace(fill(OPEN, SNARE, HAT, HAT), ostinato=on_two)
    assert hat_signs(over) == ("open", "", "", "")


@few
@given(fills(together=True))
def test_signs_follow_from_the_last_hi_hat_before(fill):
    hats = {OPEN: "open", HALF: "half-open", HAT: "", FOOT: ""}
    for index, sign in enumerate(hat_signs(fill)):
        here = {hats[one] for one in fill.strokes[index].surfaces if one in hats}
        before = [
            max(hats[one] for one in stroke.surfaces if one in hats)
            for stroke in fill.strokes[:index]
            if set(stroke.surfaces) & set(hats)
        ]
        closes = HAT in fill.strokes[index].surfaces and before and before[-1]
        assert sign == (max(here, default="") or ("closed" if closes else ""))


def test_the_engraving_has_ring_stroke_and_plus_above_the_notes():
    drawn = svg(fill(OPEN, HAT, HALF, SNARE), prefix="p")
    found = [glyphs(drawn, f"p-s{index}") for index in range(4)]
    assert found == [["E5E7"], ["E5E5"], ["E5E6"], []]


def test_the_half_open_sign_is_a_ring_with_a_stroke_through_it():
    ring, struck_through = (
        svg(fill(one, SNARE, SNARE, SNARE), prefix="p").count("M2 20L") for one in (OPEN, HALF)
    )
    assert (ring, struck_through) == (0, 1)


@pytest.mark.parametrize("counts", ["1 2 3 4", "1 - 3 -", "1 - - -"])
def test_a_rim_shot_has_a_slash_through_a_head_of_its_value(counts):
    bar = Bar.from_counts(counts)
    plain, slashed = (
        etree.fromstring(
            svg(Fill(bar, (Stroke(one),) * len(bar.sounded)), prefix="p").encode()
        ).find(f".//{SVG}g[@id='p-s0']/{SVG}g/{SVG}use")
        for one in (SNARE, Surface.RIM_SHOT)
    )
    assert slashed.get("href").removeprefix("#p-") == "slashed" + plain.get("href")[-4:]
    assert slashed.get("transform") == plain.get("transform")


def test_each_key_entry_shows_its_sign():
    drawings = {legend_svg(one).split("<g", 1)[1] for one in (HAT, OPEN, HALF)}
    assert len(drawings) == 3


def test_musicxml_has_the_standards_elements():
    score = etree.fromstring(musicxml(fill(OPEN, HAT, HALF, Surface.RIM_SHOT)).encode())
    technical = [
        [mark.tag for mark in note.iterfind("notations/technical/*")] for note in score.iter("note")
    ]
    assert technical == [["open"], ["stopped"], ["half-muted"], []]
    assert [head.text for head in score.iter("notehead")] == ["x", "x", "x", "slashed"]


def test_open_and_half_open_are_two_instruments_on_one_key():
    score = etree.fromstring(musicxml(fill(OPEN, HALF, HAT, SNARE)).encode())
    keys = {
        one.get("id"): int(one.findtext("midi-unpitched")) - 1
        for one in score.iter("midi-instrument")
    }
    used = [one.get("id") for one in score.iterfind(".//note/instrument")]
    assert len(set(used)) == 4
    assert [keys[name] for name in used] == [46, 46, 42, 38]


def test_music21_reads_the_closing_and_the_slash():
    score = converter.parseData(
        musicxml(fill(OPEN, HAT, Surface.RIM_SHOT, SNARE)), format="musicxml"
    )
    notes = list(score.recurse().notes)
    marks = [[type(mark).__name__ for mark in note.articulations] for note in notes]
    # It has no articulation for MusicXML's "open", and drops it.
    assert marks == [[], ["Stopped"], [], []]
    assert [note.notehead for note in notes] == ["x", "x", "slashed", "normal"]
