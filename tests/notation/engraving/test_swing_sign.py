"""The sign over swung notes: what it has, where it stands, and that nothing else moves for it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from rhythms.engine import Bar
from rhythms.engine.bars.feel import EIGHTHS, LEAST, MOST, PAIRS, SIXTEENTHS, Feel
from rhythms.engine.fills.fill import snare_fill
from rhythms.notation import svg
from rhythms.notation.engraving.swing_sign import swing_sign
from tests.notation.engraving.test_svg import SVG, ids_of, parsed
from tests.strategies import fills
from tests.thoroughness import examples

EIGHT = snare_fill(Bar.from_counts("1 & 2 & 3 & 4 &"))
SWUNG = st.builds(Feel, st.integers(LEAST + 1, MOST), st.sampled_from(sorted(PAIRS)))


def box_of(drawn: etree._Element) -> list[int]:
    """Left, top, width and height."""
    return [int(number) for number in drawn.get("viewBox").split()]


def sign_in(drawn: etree._Element) -> etree._Element:
    """The group between the glyphs and the page."""
    return next(child for child in drawn if child.tag == f"{SVG}g")


@examples(40)
@given(fills(together=True), SWUNG)
def test_the_bar_under_the_sign_is_drawn_as_without_it(fill, feel):
    plain, signed = parsed(svg(fill, prefix="p")), parsed(svg(fill, prefix="p", feel=feel))
    if not feel.swings_in(fill.bar.meter):
        assert svg(fill, prefix="p") == svg(fill, prefix="p", feel=feel)
        return
    assert etree.tostring(signed[-1]) == etree.tostring(plain[-1])
    assert ids_of(signed) == ids_of(plain)


@examples(40)
@given(fills(together=True), SWUNG)
def test_the_sign_stands_above_all_that_is_drawn_and_makes_the_box_higher(fill, feel):
    heading = swing_sign(feel)
    if not feel.swings_in(fill.bar.meter):
        return
    plain, signed = parsed(svg(fill)), parsed(svg(fill, feel=feel))
    left, top, width, height = box_of(plain)
    assert box_of(signed) == [left, top - heading.height, width, height + heading.height]
    assert sign_in(signed).get("transform") == f"translate({left}, {top - heading.height})"


@pytest.mark.parametrize("unit", [EIGHTHS, SIXTEENTHS])
def test_the_sign_has_four_heads_a_three_and_what_beams_and_flags_its_notes_need(unit):
    drawn = sign_in(parsed(svg(EIGHT, feel=Feel(67, unit))))
    placed = [g for g in drawn.iter(f"{SVG}g") if "906" in g.get("transform", "")]
    assert len(placed) == 4
    beams = len(list(drawn.iter(f"{SVG}polygon")))
    assert beams == {EIGHTHS: 1, SIXTEENTHS: 2}[unit]
    assert len(list(drawn.iter(f"{SVG}polyline"))) == 2  # the bracket, in front of and behind its 3


@pytest.mark.parametrize(
    ("feel", "word"),
    [(Feel(67), None), (Feel(58), "light"), (Feel(75), "hard"), (Feel(62), "62 %")],
)
def test_what_is_no_triplet_says_what_it_is_beside_the_sign(feel, word):
    said = sign_in(parsed(svg(EIGHT, feel=feel))).find(f".//{SVG}text")
    assert (said is None and word is None) or said.text == word


@pytest.mark.parametrize("feel", [Feel(67), Feel(62, SIXTEENTHS)])
def test_a_strict_content_security_policy_lets_the_sign_through_in_the_pages_ink(feel):
    for element in sign_in(parsed(svg(EIGHT, feel=feel))).iter():
        assert element.tag not in (f"{SVG}style", f"{SVG}script")
        assert not {"style", "id", "class", "color"} & set(element.attrib)
        assert element.get("stroke") in (None, "currentColor")


def test_the_words_beside_the_drawing_begin_with_the_feel():
    drawn = parsed(svg(EIGHT, feel=Feel(58)))
    assert drawn.findtext(f"{SVG}desc").startswith("Light swing (58 %): 1 snare")


def test_the_same_sign_is_drawn_each_time():
    assert svg(EIGHT, feel=Feel(67)) == svg(EIGHT, feel=Feel(67))
