"""Small pictures: all that is struck, on five lines, in the room that a list gives them."""

import re
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
#: Half a tenth of a pixel is lost where numbers are whole.
ROUNDED = 1.0


def paths(drawing: str) -> list[etree._Element]:
    return list(etree.fromstring(drawing.encode()))


def staff_lines(drawing: str) -> list[float]:
    """How high the lines that cross the picture are, in CSS pixels."""
    return [int(y) / 10 for y in re.findall(r"M0 (-?\d+)H1680", drawing)]


def ends(drawing: str) -> list[tuple[float, float]]:
    return [place for path in paths(drawing) for place in points(path.get("d"), PathPlace())]


def even(meter: str, notes: int) -> Bar:
    """A bar of notes of the same length."""
    one = Meter.parse(meter)
    return Bar.from_events(one, [Event(place * one.length / notes) for place in range(notes)])


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
@given(bars_with_pickup().filter(lambda bar: len(bar.notes) <= 24))
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


def test_24_notes_are_in_one_row_as_small_as_they_must_be():
    lines = staff_lines(small_svg(snare_fill(even("4/4", 24))))
    assert len(lines) == 5
    assert max(lines) - min(lines) == pytest.approx(18.5, abs=0.5)


def test_32_notes_are_in_two_rows_as_large_as_16():
    fill = snare_fill(even("4/4", 32))
    assert picture_size(fill).height == 120
    lines = staff_lines(small_svg(fill))
    assert [lines[4] - lines[0], lines[9] - lines[5]] == pytest.approx([25, 25], abs=0.5)


def test_of_two_bars_of_many_notes_each_has_a_row():
    one = even("4/4", 32).events()
    both = [*one, *(event._replace(onset=event.onset + 4) for event in one)]
    fill = snare_fill(Bar.from_events(Meter.parse("4/4").over(2), both))
    assert len(staff_lines(small_svg(fill))) == 10


@examples(40)
@given(fills(together=True))
def test_its_size_is_known_before_it_is_drawn(fill):
    width, height = picture_size(fill)
    drawing = small_svg(fill)
    assert f'viewBox="0 0 {10 * width} {10 * height}"' in drawing
    assert len(staff_lines(drawing)) == 5 * height / 60


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
