"""The drawing: what a page, a script and a screen reader find in it."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from lxml import etree

from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.engine.fills.fill import snare_fill
from rhythms.notation import bar_svg, svg
from tests.strategies import fills
from tests.thoroughness import examples

SVG = "{http://www.w3.org/2000/svg}"
SIXTEENTHS = snare_fill(Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a"))

few = examples(60)


def parsed(text: str) -> etree._Element:
    return etree.fromstring(text.encode())


def ids_of(root: etree._Element) -> list[str]:
    return [element.get("id") for element in root.iter() if element.get("id")]


@few
@given(fills())
def test_every_stroke_of_one_limb_is_one_group_with_its_own_id(fill: Fill) -> None:
    drawn = parsed(svg(fill, prefix="p"))
    groups = [g for g in drawn.iter(f"{SVG}g") if "stroke" in g.get("class", "").split()]
    assert sorted(group.get("id") for group in groups) == sorted(
        f"p-s{index}" for index in range(len(fill.strokes))
    )


@few
@given(fills(together=True))
def test_ids_are_unique_and_prefixed(fill: Fill) -> None:
    ids = [
        element.get("id") for element in parsed(svg(fill, prefix="p")).iter() if element.get("id")
    ]
    assert len(set(ids)) == len(ids)
    assert all(identity.startswith("p-") for identity in ids)


@few
@given(fills(together=True))
def test_a_strict_content_security_policy_lets_it_through(fill: Fill) -> None:
    for element in parsed(svg(fill, counts=True)).iter():
        assert element.tag not in (f"{SVG}style", f"{SVG}script")
        assert "style" not in element.attrib
        assert not any(name.startswith("on") for name in element.attrib)


@few
@given(fills(together=True))
def test_the_ink_is_the_pages_own(fill: Fill) -> None:
    for element in parsed(svg(fill)).iter():
        for name in ("fill", "stroke", "color"):
            assert element.get(name) in (None, "currentColor", "none")


@few
@given(fills(together=True))
def test_the_same_fill_gives_the_same_text(fill: Fill) -> None:
    first = svg(fill)
    svg(SIXTEENTHS)
    assert svg(fill) == first


def test_a_silent_bar_shows_its_rests() -> None:
    """U+E4E5 is the quarter rest in SMuFL, the standard music font layout."""
    root = parsed(bar_svg(Bar.from_counts("(1) (2) (3) (4)"), prefix="p"))
    assert [use.get("href") for use in root.iter(f"{SVG}use")].count("#p-E4E5") == 4


@few
@given(fills())
def test_only_strokes_have_a_class_for_style_sheets_to_find(fill: Fill) -> None:
    classes = [element.get("class") for element in parsed(svg(fill)).iter() if element.get("class")]
    assert classes == ["engraving"] + ["stroke"] * len(fill.strokes)


def test_two_fills_share_no_id() -> None:
    bar = Bar.from_counts("1 & 2 & 3 & 4 &")
    drawings = [parsed(svg(snare_fill(bar))), parsed(bar_svg(bar)), parsed(svg(SIXTEENTHS))]
    ids = [
        element.get("id") for drawing in drawings for element in drawing.iter() if element.get("id")
    ]
    assert len(set(ids)) == len(ids)


def test_it_scales_to_its_place_and_names_itself() -> None:
    root = parsed(svg(SIXTEENTHS, prefix="p"))
    assert root.get("viewBox")
    assert not {"width", "height"} & set(root.attrib)
    assert root.get("role") == "img"
    title, description = (
        root.find(f"*[@id='{identity}']").text for identity in root.get("aria-labelledby").split()
    )
    assert title == "4/4, 16 strokes"
    assert description.startswith("1 snare, e snare, & snare, a snare, 2 snare")


def test_the_dot_of_a_ghost_note_stands_behind_its_parenthesis() -> None:
    """Glyph E26B is SMuFL's accidentalParensRight."""
    bar = Bar.from_counts("1 - & 3 - &")
    ghosts = Fill(bar, (Stroke(Surface.SNARE, dynamic="ghost"),) * len(bar.sounded))
    drawn = parsed(svg(ghosts, prefix="p"))
    closing = [x_of(use) for use in drawn.iter(f"{SVG}use") if use.get("href") == "#p-E26B"]
    dots = [int(dot.get("cx")) for dot in drawn.iter(f"{SVG}ellipse")]
    assert len(dots) == 2
    dotted = [closing[0], closing[2]]
    # A parenthesis is half a staff space wide (90); a dot's radius is 36.
    assert [dot - 36 - 90 > x for dot, x in zip(dots, dotted, strict=True)] == [True, True]


def x_of(use: etree._Element) -> int:
    return int(use.get("transform").removeprefix("translate(").partition(",")[0])


@pytest.mark.parametrize(
    ("counts", "meter"),
    [
        ("1 2 3 4 & 5 & 6 & 7 8 9 10 & 11 & 12 &", "12/8"),
        ("1 trip let & trip let 2 3 e & a 4 5", "5/4"),
        ("1 2 3 4 5 6 7 8 9 10 trip let 11 12", "12/8"),
    ],
)
def test_counts_stand_a_word_space_apart(counts: str, meter: str) -> None:
    """Letters of a page's font are two thirds of their height wide, narrow ones a third."""
    drawn = parsed(bar_svg(Bar.from_counts(counts, meter), counts=True))
    edges = []
    for text in drawn.iter(f"{SVG}text"):
        x, size = int(text.get("x")), int(text.get("font-size"))
        half = sum(1 / 3 if letter in "ilt()" else 2 / 3 for letter in text.text) * size / 2
        edges.append((x - half, x + half))
    gaps = [after[0] - before[1] for before, after in pairwise(sorted(edges))]
    assert min(gaps) > size / 4
