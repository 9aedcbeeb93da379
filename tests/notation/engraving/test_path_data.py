"""Paths placed anew: every point where it was, to half a unit, however the path is written."""

from __future__ import annotations

from typing import NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.notation.engraving.path_data import PathPlace, Point, points, written
from tests.thoroughness import examples

#: Quarters of a unit: sums of them are exact.
NUMBERS = st.integers(-2000, 2000).map(lambda quarters: quarters / 4)
POINTS = st.tuples(NUMBERS, NUMBERS)
SCALES = st.sampled_from((-1.0, 0.02, 0.34, 0.75, 2.0))
PLACES = st.builds(PathPlace, NUMBERS, NUMBERS, SCALES, SCALES)
#: How many points a segment of a command has.
SIZES = {"M": 1, "L": 1, "H": 1, "V": 1, "C": 3, "S": 2}
HALF = 0.5 + 1e-9


class Step(NamedTuple):
    """A command with the points of one segment, as they would be absolute."""

    command: str
    ends: tuple[Point, ...]


@st.composite
def paths(draw: st.DrawFn) -> list[Step]:
    """One that opens, then anything, closed and opened anew in between."""
    kinds = draw(st.lists(st.sampled_from([*SIZES, "Z"]), max_size=30))
    return [
        Step(kind, tuple(draw(POINTS) for _ in range(SIZES.get(kind, 0)))) for kind in ["M", *kinds]
    ]


def text(steps: list[Step], *, relative: bool) -> str:
    """The path, all of it absolute or all of it relative."""
    (x, y), said = (0.0, 0.0), ""
    opened = (x, y)
    for kind, ends in steps:
        from_x, from_y = (x, y) if relative else (0.0, 0.0)
        each = {"H": lambda a, _: (a,), "V": lambda _, b: (b,)}.get(kind, lambda a, b: (a, b))
        numbers = [one for a, b in ends for one in each(a - from_x, b - from_y)]
        said += (kind.lower() if relative else kind) + " ".join(map(str, numbers))
        end_x, end_y = ends[-1] if ends else opened
        x, y = (x if kind == "V" else end_x), (y if kind == "H" else end_y)
        opened = (x, y) if kind == "M" else opened
    return said


def near(one: list[Point], other: list[Point], within: float) -> bool:
    pairs = zip(one, other, strict=True)
    return all(abs(a - c) <= within and abs(b - d) <= within for (a, b), (c, d) in pairs)


@given(paths(), PLACES)
def test_absolute_or_relative_a_path_has_the_same_points(steps, placed):
    absolute, relative = (
        list(points(text(steps, relative=relative), placed)) for relative in (False, True)
    )
    assert near(absolute, relative, 1e-9)


@pytest.mark.parametrize("relative", [False, True], ids=["absolute", "relative"])
@examples(300)
@given(steps=paths(), placed=PLACES)
def test_no_point_of_a_path_is_rounded_by_more_than_half(steps, placed, relative):
    # A smooth curve's first control point is not written: it follows from those before.
    plain = [step for step in steps if step.command != "S"]
    path = text(plain, relative=relative)
    assert near(list(points(written(path, placed), PathPlace())), list(points(path, placed)), HALF)


def test_a_path_that_opens_by_a_step_may_stand_behind_another():
    assert written("m1 1 2 0", PathPlace(5, 5)) == "M6 6l2 0"


@given(paths(), PLACES)
def test_absolute_or_relative_a_path_is_rounded_alike(steps, placed):
    absolute, relative = (
        list(points(written(text(steps, relative=relative), placed), PathPlace()))
        for relative in (False, True)
    )
    assert near(absolute, relative, 0)


def test_what_is_relative_after_closing_begins_where_the_path_was_opened():
    assert list(points("M10 10L20 10zl5 5", PathPlace())) == [(10, 10), (20, 10), (15, 15)]


def test_pairs_behind_the_first_of_an_opening_are_lines():
    assert list(points("m1 1 2 0 0 2z l1 0", PathPlace())) == [(1, 1), (3, 1), (3, 3), (2, 1)]


def test_a_smooth_curve_has_the_control_point_that_mirrors_the_last():
    found = list(points("M0 0c0 5 5 10 10 10s10 -5 10 -10", PathPlace()))
    assert (15, 10) in found
    assert found[-1] == (20, 0)


def test_steps_that_lose_a_little_each_do_not_add_up():
    path = "M0 0" + "l10 0" * 40
    *_, (x, _) = points(written(path, PathPlace(across=0.34)), PathPlace())
    assert x == pytest.approx(0.34 * 400, abs=0.5)


def test_it_is_written_in_whole_numbers_with_no_space_before_a_minus():
    assert written("M1.2 .4l1e1 -2.5H7v-3z", PathPlace(across=10)) == "M12 0l100-2H70v-3z"
