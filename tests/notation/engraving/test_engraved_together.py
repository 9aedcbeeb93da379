"""Strokes of several limbs engraved: one stem for both hands, the feet below them."""

from __future__ import annotations

import re

from hypothesis import given
from lxml import etree

from rhythms.engine import Bar, Fill, Surface
from rhythms.engine.fills.fill import HANDS, Hit, stroke_of
from rhythms.notation import legend, svg
from tests.strategies import fills
from tests.thoroughness import examples

SVG = "{http://www.w3.org/2000/svg}"
SNARE, FLOOR_TOM = Hit(Surface.SNARE, "R"), Hit(Surface.FLOOR_TOM, "L")
CRASH, BASS_DRUM = Hit(Surface.CRASH, "R"), Hit(Surface.BASS_DRUM, "RF")
#: SMuFL: noteheadBlack, noteheadXBlack, noteheadParenthesisLeft, articAccentAbove.
BLACK, CROSS, BRACKET, ACCENT = "E0A4", "E0A9", "E26A", "E4A0"

few = examples(60)


def drawn(fill: Fill, **options: bool) -> etree._Element:
    return etree.fromstring(svg(fill, prefix="p", **options).encode())


def lit(root: etree._Element) -> dict[str, etree._Element]:
    """What the player lights, by its id: all that is of class ``stroke``."""
    groups = root.iter(f"{SVG}g")
    return {group.get("id"): group for group in groups if group.get("class") == "stroke"}


def glyphs(group: etree._Element) -> list[str]:
    return [use.get("href").rpartition("-")[2] for use in group.iter(f"{SVG}use")]


def words(root: etree._Element) -> list[tuple[int, int, str]]:
    return [(int(t.get("y")), int(t.get("x")), t.text) for t in root.iter(f"{SVG}text")]


def four(*strokes: tuple[Hit, ...]) -> Fill:
    return Fill(Bar.from_counts("1 2 3 4"), tuple(map(stroke_of, strokes)))


UNISON = four((SNARE, FLOOR_TOM), (SNARE,), (SNARE,), (SNARE,))
CRASH_AND_BASS = four((CRASH, BASS_DRUM), (SNARE,), (SNARE,), (BASS_DRUM,))


@few
@given(fills(together=True))
def test_hands_and_feet_of_a_stroke_are_a_group_each_that_can_be_lit(fill):
    expected = set()
    for index, stroke in enumerate(fill.strokes):
        expected.add(f"p-s{index}")
        if stroke.hand_hits and stroke.foot_hits:
            expected.add(f"p-s{index}-feet")
    assert lit(drawn(fill)).keys() == expected


@few
@given(fills(together=True))
def test_every_hand_that_is_fixed_has_its_letter(fill):
    hands = [hit.limb for hit in fill.hits if hit.limb in HANDS]
    graces = {"flam": 1, "drag": 2}
    extra = sum(graces.get(stroke.ornament, 0) for stroke in fill.strokes if stroke.limb in HANDS)
    assert len(words(drawn(fill))) == len(hands) + extra


def test_two_hands_share_one_stem():
    group = lit(drawn(UNISON))["p-s0"]
    assert glyphs(group) == [BLACK, BLACK]
    assert len(group.findall(f"{SVG}g/{SVG}path")) == 1


def test_the_letters_of_two_hands_stand_one_above_the_other_like_their_heads():
    root = drawn(UNISON)
    (over, x, upper), (under, same_x, lower), *_ = sorted(words(root), key=lambda word: word[1])
    assert (upper, lower, x) == ("R", "L", same_x)
    assert over < under
    turned = four((SNARE._replace(limb="L"), FLOOR_TOM._replace(limb="R")), *[(SNARE,)] * 3)
    (_, _, upper), (_, _, lower), *_ = sorted(words(drawn(turned)), key=lambda word: word[1])
    assert (upper, lower) == ("L", "R")


def test_words_under_a_chord_are_as_large_as_under_a_note():
    sizes = {text.get("font-size") for text in drawn(UNISON, counts=True).iter(f"{SVG}text")}
    assert sizes == {"300", "250"}


def test_the_bass_drum_under_a_crash_has_a_stem_of_its_own():
    groups = lit(drawn(CRASH_AND_BASS))
    assert glyphs(groups["p-s0"]) == [CROSS]
    assert glyphs(groups["p-s0-feet"]) == [BLACK]
    assert glyphs(groups["p-s3"]) == [BLACK]


def test_only_the_ghost_of_two_hands_is_in_brackets():
    fill = four((SNARE._replace(dynamic="ghost"), FLOOR_TOM), *[(SNARE,)] * 3)
    assert glyphs(lit(drawn(fill))["p-s0"]).count(BRACKET) == 1


def test_one_accent_stands_over_two_hands():
    loud = [hit._replace(dynamic="accent") for hit in (SNARE, FLOOR_TOM)]
    for hits in ((loud[0], FLOOR_TOM), (SNARE, loud[1]), tuple(loud)):
        fill = four(hits, *[(SNARE,)] * 3)
        assert glyphs(lit(drawn(fill))["p-s0"]).count(ACCENT) == 1


def test_counts_stand_once_under_a_hand_with_a_foot():
    said = sorted(text for _, _, text in words(drawn(CRASH_AND_BASS, counts=True)))
    assert said == ["1", "2", "3", "4", "R", "R", "R"]


def test_the_legend_names_everything_that_is_struck():
    assert [entry.name for entry in legend(CRASH_AND_BASS)] == ["Snare", "Crash", "Bass drum"]


def test_the_stem_of_a_chord_comes_down_to_the_foot_of_its_triangle():
    """The head is 125 units of the font under its middle, of which 250 are a staff space, 180."""
    fill = four((CRASH, Hit(Surface.COWBELL, "L")), *[(SNARE,)] * 3)
    group = lit(drawn(fill))["p-s0"]
    triangle = next(use for use in group.iter(f"{SVG}use") if "triangle" in use.get("href"))
    middle = int(re.search(r"translate\(\d+, (\d+)\)", triangle.get("transform"))[1])
    stem = group.find(f"{SVG}g/{SVG}path").get("d")
    assert int(re.match(r"M\d+ (\d+) ", stem)[1]) == middle + 125 * 180 // 250
