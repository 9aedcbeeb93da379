"""Small pictures: all that is struck, on five lines, in the room that a list gives them."""

import re
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, Meter, Stroke, Surface
from rhythms.engine.bars.writing import Event
from rhythms.engine.fills.fill import snare_fill
from rhythms.notation.engraving.path_data import PathPlace, points
from rhythms.notation.engraving.small_picture import picture_size, small_svg
from rhythms.notation.xml import etree
from tests.strategies import bars_with_pickup, fills
from tests.thoroughness import examples

SIXTEENTHS = Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a")
#: In tenths of a pixel: steps of a path are whole numbers, and what each loses adds up.
ROUNDED = 3.0


def paths(drawing: str) -> list[etree._Element]:
    return list(etree.fromstring(drawing.encode()))


def staff_lines(drawing: str) -> list[float]:
    """How high the lines that cross the picture are, in CSS pixels."""
    crossing = re.findall(r"M\d+ (-?\d+)L(\d+) (-?\d+)", drawing)
    return [int(y) / 10 for y, right, _ in crossing if int(right) >= 1670]


def ends(drawing: str) -> list[tuple[float, float]]:
    return [place for path in paths(drawing) for place in points(path.get("d"), PathPlace())]


def phrase(*counts: str) -> Bar:
    return Bar.from_counts(" | ".join(counts))


@examples(60)
@given(fills(together=True))
def test_all_of_any_fill_is_within_its_picture(fill):
    size = picture_size(fill)
    assert all(
        -ROUNDED <= x <= 10 * size.width + ROUNDED and -ROUNDED <= y <= 10 * size.height + ROUNDED
        for x, y in ends(small_svg(fill))
    )


@examples(20)
@given(bars_with_pickup())
def test_a_pickup_stands_in_the_row_of_its_bar(bar):
    assert picture_size(snare_fill(bar)).height == 60
    assert all(x <= 1680 + ROUNDED for x, _ in ends(small_svg(snare_fill(bar))))


def test_sixteen_16ths_have_a_staff_of_25_pixels():
    lines = staff_lines(small_svg(snare_fill(SIXTEENTHS)))
    assert len(lines) == 5
    assert max(lines) - min(lines) == pytest.approx(25, abs=0.5)


def test_it_has_no_letters_and_nothing_that_meets_another_on_a_page():
    drawing = small_svg(snare_fill(SIXTEENTHS))
    assert not re.search(r"<text|<use| id=| style=", drawing)


def test_it_has_the_ink_of_the_page():
    inks = {path.get("stroke") for path in paths(small_svg(snare_fill(SIXTEENTHS)))}
    assert inks == {None, "currentColor"}


def test_two_bars_have_a_row_each():
    fill = snare_fill(phrase("1 & 2 & 3 & 4 &", "1 2 3 4"))
    assert picture_size(fill).height == 120
    assert len(staff_lines(small_svg(fill))) == 10


def test_of_four_bars_the_last_two_that_are_played_are_drawn():
    fill = snare_fill(phrase("1 2 3 4", "1 & 2 & 3 & 4 &", "1 2 3 4", "(1) (2) (3) (4)"))
    assert picture_size(fill).height == 120
    assert small_svg(fill) == small_svg(
        snare_fill(phrase("(1) (2) (3) (4)", "1 & 2 & 3 & 4 &", "1 2 3 4", "(1) (2) (3) (4)"))
    )


def test_many_notes_are_drawn_smaller_until_they_fit():
    event = [Event(Fraction(place, 8)) for place in range(32)]
    fill = snare_fill(Bar.from_events(Meter.parse("4/4"), event))
    lines = staff_lines(small_svg(fill))
    assert 8 < max(lines) - min(lines) < 25


@given(st.lists(st.sampled_from(Surface), min_size=4, max_size=4))
def test_it_is_the_same_each_time(struck):
    fill = Fill(Bar.from_counts("1 2 3 4"), tuple(map(Stroke, struck)))
    assert small_svg(fill) == small_svg(fill)


def test_what_is_higher_on_the_kit_is_higher_in_the_picture():
    tops = [
        min(y for _, y in points(paths(small_svg(fill))[-1].get("d"), PathPlace()))
        for surface in (Surface.FLOOR_TOM, Surface.SNARE, Surface.HIGH_TOM, Surface.CRASH)
        for fill in [Fill(Bar.from_counts("1 2 3 4"), (Stroke(surface),) * 4)]
    ]
    assert all(low > high for low, high in pairwise(tops))


def test_dynamics_and_ornaments_are_left_to_the_name():
    bar = Bar.from_counts("1 2 3 4")
    plain = Fill(bar, (Stroke(Surface.SNARE),) * 4)
    dressed = Fill(bar, (Stroke(Surface.SNARE, "R", "accent", "flam"),) * 4)
    assert small_svg(dressed) == small_svg(plain)
