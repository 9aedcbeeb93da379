"""The drawing for the stage: what a script finds in it, and how large it is on a phone."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from lxml import etree

from rhythms.engine import Bar, Fill
from rhythms.engine.bars.feel import EIGHTHS, Feel
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.groove_fill import groove_fills
from rhythms.engine.playback.groove_library import library
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
SIXTEENTHS = snare_fill(Bar.from_counts(COUNTED))
#: Units of a drawing that are a staff; px of a staff where a row upright is as wide as a phone.
STAFF, PHONE = 720, 390

few = examples(40)


def parsed(text: str) -> etree._Element:
    return etree.fromstring(text.encode())


def box(root: etree._Element) -> list[int]:
    return [int(number) for number in root.get("viewBox", "").split()]


def rows(root: etree._Element) -> list[int]:
    return [int(number) for number in root.get("data-rows", "").split()]


def words(root: etree._Element) -> list[str]:
    return ["".join(text.itertext()) for text in root.iter(f"{SVG}text")]


@pytest.mark.parametrize("form", STAGE_FORMS.values(), ids=STAGE_FORMS)
@few
@given(fill=phrases())
def test_every_stroke_is_lit_by_its_id_once(form, fill: Fill) -> None:
    drawn = parsed(stage_svg(fill, form, prefix="p"))
    ids = [str(one.get("id")) for one in drawn.iter() if one.get("id")]
    assert len(set(ids)) == len(ids)
    groups = [g.get("id", "") for g in drawn.iter(f"{SVG}g") if g.get("class") == "stroke"]
    assert {name.removesuffix("-feet") for name in groups} == {
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
    drawn = parsed(stage_svg(SIXTEENTHS, LANDSCAPE))
    glyphs = {one.get("id", "").rpartition("-")[2] for one in drawn.find(f"{SVG}defs")}
    # SMuFL: percussion clefs U+E069, U+E06A; digits of a meter from U+E080 on.
    assert not glyphs & {"E069", "E06A", *(f"E08{digit}" for digit in range(10))}


def test_where_hands_are_open_the_count_stands_below() -> None:
    assert words(parsed(stage_svg(SIXTEENTHS, LANDSCAPE))) == [
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
        parsed(stage_svg(SIXTEENTHS, PORTRAIT, feel=feel)) for feel in (Feel(), Feel(67, EIGHTHS))
    )
    heights = [[b - a for a, b in pairwise(rows(one))] for one in (straight, swung)]
    assert heights[1][0] > heights[0][0]
    assert heights[1][1:] == heights[0][1:]


def test_for_who_wants_it_larger_there_are_more_rows() -> None:
    assert len(rows(parsed(stage_svg(SIXTEENTHS, LARGE)))) > len(
        rows(parsed(stage_svg(SIXTEENTHS, PORTRAIT)))
    )


def test_every_groove_of_the_library_is_drawn_without_letters() -> None:
    for groove in library():
        for fill in groove_fills(groove):
            assert not words(parsed(stage_svg(fill, GROOVE)))
