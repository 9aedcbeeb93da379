"""The drawing for the stage: what a script finds in it, and how large it is on a phone."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.engine.bars.feel import EIGHTHS, SIXTEENTHS, Feel
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.groove_fill import groove_fills
from rhythms.engine.playback.groove_library import library
from rhythms.notation.engraving.drawn import place_of
from rhythms.notation.engraving.flat_shapes import named, shapes_of
from rhythms.notation.engraving.path_data import PathPlace, points
from rhythms.notation.engraving.stage_svg import (
    GROOVE,
    LANDSCAPE,
    LARGE,
    LEAST,
    PORTRAIT,
    STAGE_FORMS,
    stage_svg,
)
from tests.notation.layout.test_stage_rows import phrases
from tests.thoroughness import examples

SVG = "{http://www.w3.org/2000/svg}"
COUNTED = "1 e & a 2 e & a 3 e & a 4 e & a"
PLAIN = snare_fill(Bar.from_counts(COUNTED))
#: Units of a drawing that are a staff; px of a staff where a row upright is as wide as a phone.
STAFF, PHONE = 720, 390
#: Px that rows have on a phone of 844 that lies on its side; how wide a cross is in units.
BESIDE_THE_RAIL, CROSS = 764, 208.8
#: Of a phone 390 px wide, in mm; and the arc of a mm at a metre, in minutes: 60 * 180 / pi / 1000.
A_PIXEL, A_MILLIMETRE = 0.166, 3.4377

few = examples(40)


def parsed(text: str) -> etree._Element:
    return etree.fromstring(text.encode())


def box(root: etree._Element) -> list[int]:
    return [int(number) for number in root.get("viewBox", "").split()]


def rows(root: etree._Element) -> list[int]:
    return [int(number) for number in root.get("data-rows", "").split()]


def strokes(root: etree._Element) -> list[etree._Element]:
    return [group for group in root.iter(f"{SVG}g") if group.get("class") == "stroke"]


def reach(root: etree._Element, element: etree._Element) -> tuple[list[float], list[float]]:
    """How far what is drawn of an element goes, without letters: left and right, top and foot."""
    shapes = shapes_of(element, named(root.find(f"{SVG}defs")), PathPlace())
    xs, ys = zip(*(point for one in shapes for point in points(one.path, one.placed)), strict=True)
    return [min(xs), max(xs)], [min(ys), max(ys)]


def words(root: etree._Element) -> list[str]:
    return ["".join(text.itertext()) for text in root.iter(f"{SVG}text")]


@pytest.mark.parametrize("form", STAGE_FORMS.values(), ids=STAGE_FORMS)
@few
@given(fill=phrases())
def test_every_stroke_is_lit_by_its_id_once(form, fill: Fill) -> None:
    drawn = parsed(stage_svg(fill, form, prefix="p"))
    ids = [str(one.get("id")) for one in drawn.iter() if one.get("id")]
    assert len(set(ids)) == len(ids)
    assert {group.get("id", "").removesuffix("-feet") for group in strokes(drawn)} == {
        f"p-s{index}" for index in range(len(fill.strokes))
    }


@few
@given(phrases())
def test_its_rows_are_under_each_other_from_top_to_foot(fill: Fill) -> None:
    drawn = parsed(stage_svg(fill, PORTRAIT))
    edges, (_, top, _, height) = rows(drawn), box(drawn)
    assert (edges[0], edges[-1]) == (top, top + height)
    assert all(after - one > STAFF for one, after in pairwise(edges))


@pytest.mark.parametrize(
    "counts", ["1 e & a 2 e & a 3 e & a 4 e & a", "1 & 2 & 3 & 4 &", "1 2 3 4"]
)
def test_upright_its_staff_is_98_px_high_on_a_phone_of_390(counts) -> None:
    drawn = parsed(stage_svg(snare_fill(Bar.from_counts(counts)), PORTRAIT))
    assert box(drawn)[2] == 10 * LEAST
    assert 97 < PHONE / box(drawn)[2] * STAFF < 99


def test_it_has_neither_clef_nor_meter_nor_bar_line() -> None:
    drawn = parsed(stage_svg(PLAIN, LANDSCAPE))
    glyphs = {one.get("id", "").rpartition("-")[2] for one in drawn.find(f"{SVG}defs")}
    # SMuFL: percussion clefs U+E069, U+E06A; digits of a meter from U+E080 on.
    assert not glyphs & {"E069", "E06A", *(f"E08{digit}" for digit in range(10))}


def test_where_hands_are_open_the_count_stands_below() -> None:
    assert words(parsed(stage_svg(PLAIN, LANDSCAPE))) == [
        "1",
        "e",
        "&",
        "a",
        "2",
        "e",
        "&",
        "a",
        "3",
        "e",
        "&",
        "a",
        "4",
        "e",
        "&",
        "a",
    ]


def test_a_beat_in_six_has_its_number_alone() -> None:
    fill = snare_fill(Bar.from_counts("1 trip let & trip let 2 & 3 4"))
    assert words(parsed(stage_svg(fill, LANDSCAPE))) == ["1", "2", "&", "3", "4"]


def test_a_swung_one_has_its_sign_above_the_first_row() -> None:
    straight, swung = (
        parsed(stage_svg(PLAIN, PORTRAIT, feel=feel)) for feel in (Feel(), Feel(67, EIGHTHS))
    )
    heights = [[b - a for a, b in pairwise(rows(one))] for one in (straight, swung)]
    assert heights[1][0] > heights[0][0]
    assert heights[1][1:] == heights[0][1:]


@pytest.mark.parametrize("form", [PORTRAIT, LANDSCAPE], ids=["upright", "on its side"])
@few
@given(fill=phrases())
def test_all_that_is_drawn_is_within_the_drawing(form, fill: Fill) -> None:
    drawn = parsed(stage_svg(fill, form))
    left, top, width, height = box(drawn)
    (first, last), (highest, lowest) = reach(drawn, drawn[-1])
    assert left <= first
    assert last <= left + width
    assert top <= highest
    assert lowest <= top + height


@few
@given(phrases(), st.sampled_from((Feel(58), Feel(67, EIGHTHS), Feel(67, SIXTEENTHS))))
def test_the_sign_touches_nothing_and_is_within_the_drawing(fill: Fill, feel: Feel) -> None:
    if not feel.swings_in(fill.bar.meter):
        return
    drawn = parsed(stage_svg(fill, LANDSCAPE, feel=feel))
    sign, page = drawn[-2], drawn[-1]
    (_, right), (highest, lowest) = reach(drawn, sign)
    assert box(drawn)[1] <= highest
    moved = PathPlace(*place_of(page))
    for one in shapes_of(page[0], named(drawn.find(f"{SVG}defs")), moved):
        here = list(points(one.path, one.placed))
        assert min(x for x, _ in here) > right or min(y for _, y in here) > lowest


@pytest.mark.parametrize(
    ("counts", "meter"),
    [
        (COUNTED, "4/4"),
        (f"{COUNTED} 5 e & a", "5/4"),
        ("1 trip let & trip let 2 trip let & trip let 3 e & a 4 e & a", "4/4"),
    ],
    ids=["16", "20", "20, of them 12 in six"],
)
def test_on_its_side_a_cross_of_the_widest_row_has_16_minutes_of_arc(counts, meter) -> None:
    bar = Bar.from_counts(counts, meter)
    fill = Fill(bar, (Stroke(Surface.HI_HAT),) * len(bar.sounded))
    drawn = parsed(stage_svg(fill, LANDSCAPE))
    assert len(rows(drawn)) == 2
    assert CROSS * BESIDE_THE_RAIL / box(drawn)[2] * A_PIXEL * A_MILLIMETRE >= 16
    heads = [place_of(next(group.iter(f"{SVG}use"))) for group in strokes(drawn)]
    assert all(after[0] - one[0] > CROSS for one, after in pairwise(heads))


@pytest.mark.parametrize(("ghosts", "number"), [(4, 2), (16, 4)])
def test_upright_rows_are_cut_again_before_ghosts_make_them_too_small_to_read(ghosts, number):
    dynamics = ["ghost"] * ghosts + ["normal"] * (16 - ghosts)
    struck = [one._replace(dynamic=own) for one, own in zip(PLAIN.strokes, dynamics, strict=True)]
    drawn = parsed(stage_svg(replace(PLAIN, strokes=tuple(struck)), PORTRAIT))
    assert len(rows(drawn)) - 1 == number
    assert PHONE / box(drawn)[2] * STAFF >= 72


def test_for_who_wants_it_larger_there_are_more_rows() -> None:
    assert len(rows(parsed(stage_svg(PLAIN, LARGE)))) > len(
        rows(parsed(stage_svg(PLAIN, PORTRAIT)))
    )


def test_every_groove_of_the_library_is_drawn_without_letters() -> None:
    for groove in library():
        for fill in groove_fills(groove):
            assert not words(parsed(stage_svg(fill, GROOVE)))
