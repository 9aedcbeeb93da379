"""Hands as they are taught: hand to hand by the grid, left only where a move would not fit.

Numbers and "&" for the leading hand in 16ths, triplets and quarters in turn, are common practice.
"""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, Kit, Stroke, Surface
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.fills.hands import (
    StickingStyle,
    as_taught,
    grid_hands,
    off_the_grid,
    stuck,
    with_hands,
)
from rhythms.engine.fills.limbs import moves_of
from rhythms.engine.fills.playability import effort
from tests.thoroughness import examples

STANDARD, MIRRORED = Kit.standard(), Kit.standard(left_handed=True)
SURFACES = (Surface.SNARE, Surface.FLOOR_TOM, Surface.HI_HAT, Surface.CRASH)


@pytest.mark.parametrize(
    ("counts", "meter", "hands"),
    [
        ("1 e & a 2 e & a 3 e & a 4 e & a", "4/4", "RLRLRLRLRLRLRLRL"),
        ("1 & 2 e & a 3 & 4 e & a", "4/4", "RRRLRLRRRLRL"),
        ("1 (e) & a 2 e (&) a", "2/4", "RRLRLL"),
        ("1 & 2 & 3 & 4 &", "4/4", "RLRLRLRL"),
        ("1 2 3 4", "4/4", "RLRL"),
        ("1 trip let 2 trip let 3 trip let 4 trip let", "4/4", "RLRLRLRLRLRL"),
        ("1 trip let 2 trip let 3 & 4 trip let", "4/4", "RLRLRLRLRLR"),
        ("1 trip let & trip let 2 & 3 & 4 &", "4/4", "RLRLRLRLRLRL"),
        ("1 2 3 4 5 6", "6/8", "RLRLRL"),
        ("1 ta e ta & ta a ta 2 & a ta 3 4", "4/4", "RLRLRLRLRRRLRR"),
        ("1 ka di mi ti 2 ka di mi ti 3 & 4", "4/4", "RLRLRLRLRLRLR"),
        ("1 e & trip let 2 & 3 trip let & a 4", "4/4", "RLRLRRLRLRLRR"),
        ("1 trip let 2 & 3 4 5 6", "6/8", "RLRLRLRLR"),
    ],
)
def test_the_leading_hand_has_the_numbers(counts, meter, hands):
    assert "".join(grid_hands(Bar.from_counts(counts, meter), STANDARD)) == hands
    swapped = hands.translate(str.maketrans("RL", "LR"))
    assert "".join(grid_hands(Bar.from_counts(counts, meter), MIRRORED)) == swapped


@pytest.mark.parametrize(
    ("counts", "meter", "hands"),
    [
        ("1 & 2 & 3 & 4 &", "4/4", "RRRRRRRR"),
        ("1 2 3 4", "4/4", "RRRR"),
        ("1 & 2 e & a 3 & 4 e & a", "4/4", "RRRLRLRRRLRL"),
        ("1 trip let 2 trip let 3 & 4 trip let", "4/4", "RLRLRLRRRLR"),
        ("1 & 2 3 & 4 5 6", "6/8", "RLRRLRRR"),
        ("1 2 3 4 5 6 7", "7/8", "RRRRRRR"),
    ],
)
def test_the_other_convention_gives_the_leading_hand_every_eighth(counts, meter, hands):
    """Eighths by one hand while 16ths are hand to hand: common practice."""
    bar = Bar.from_counts(counts, meter)
    assert "".join(grid_hands(bar, STANDARD, StickingStyle.LEAD_ON_EIGHTHS)) == hands
    played = stuck(snare_fill(bar), STANDARD, 60, StickingStyle.LEAD_ON_EIGHTHS)
    assert "".join(stroke.limb for stroke in played.strokes) == hands


def fill_on(counts: str, surfaces, meter: str = "2/4") -> Fill:
    bar = Bar.from_counts(counts, meter)
    strokes = (Stroke(surface) for surface in surfaces)
    return Fill(bar, tuple(stroke for stroke, _ in zip(strokes, bar.sounded, strict=False)))


def too_late(fill: Fill, kit: Kit, tempo: float, feel: Feel = STRAIGHT) -> int:
    return sum(move.load(tempo) > 1 for move in moves_of(fill, kit, feel))


@examples(40)
@given(
    st.sampled_from(["1 e & a 2 & a", "1 trip let 2 e & a", "1 & a 2 a"]),
    st.lists(st.sampled_from(SURFACES), min_size=7, max_size=7),
    st.sampled_from([STANDARD, MIRRORED]),
    st.sampled_from([60, 140, 220]),
    st.sampled_from([STRAIGHT, Feel(67), Feel(75, "16ths")]),
)
def test_as_few_hands_as_possible_leave_the_grid_of_all_stickings_that_fit_best(
    counts, surfaces, kit, tempo, feel
):
    fill = fill_on(counts, surfaces)
    played = as_taught(fill, kit, tempo, feel=feel)
    stickings = (
        Fill(
            fill.bar,
            tuple(s._replace(limb=limb) for s, limb in zip(fill.strokes, limbs, strict=True)),
        )
        for limbs in product("RL", repeat=len(fill.strokes))
    )

    def cost(one: Fill) -> tuple[int, int, float]:
        off = len(off_the_grid(fill, one, kit))
        return too_late(one, kit, tempo, feel), off, round(effort(one, kit, 60, feel).total, 7)

    assert cost(played) == pytest.approx(min(map(cost, stickings)), abs=1e-6)


def test_where_everything_fits_no_hand_leaves_the_grid():
    fill = fill_on("1 e & a 2 e & a", [Surface.SNARE, Surface.FLOOR_TOM] * 4)
    assert off_the_grid(fill, as_taught(fill, STANDARD, 60), STANDARD) == ()


def test_a_double_across_the_kit_leaves_the_grid_once_it_would_not_fit():
    """Numbers and "&" are the right hand's: from the hi-hat to the floor tom in an eighth."""
    surfaces = [Surface.HI_HAT, Surface.FLOOR_TOM, Surface.HI_HAT, Surface.HI_HAT]
    fill = fill_on("1 & 2 e", surfaces)
    assert off_the_grid(fill, as_taught(fill, STANDARD, 60), STANDARD) == ()
    fast = as_taught(fill, STANDARD, 220)
    assert off_the_grid(fill, fast, STANDARD)
    assert too_late(fast, STANDARD, 220) == 0


def test_fixed_hands_and_feet_stay_and_are_no_deviations():
    bar = Bar.from_counts("1 2 3 4")
    strokes = (
        Stroke(Surface.SNARE, "L"),
        Stroke(Surface.BASS_DRUM, "RF"),
        Stroke(Surface.RIDE),
        Stroke(Surface.SNARE),
    )
    fill = Fill(bar, strokes)
    played = as_taught(fill, STANDARD, 80)
    assert [s.limb for s in played.strokes] == ["L", "RF", "R", "L"]
    assert off_the_grid(fill, played, STANDARD) == ()


def test_the_three_styles_are_what_their_names_say():
    fill = snare_fill(Bar.from_counts("1 & 2 e & a", "2/4"))
    styles = {style: stuck(fill, STANDARD, 80, style) for style in StickingStyle}
    assert styles[StickingStyle.AS_TAUGHT] == as_taught(fill, STANDARD, 80)
    assert styles[StickingStyle.LEAST_EFFORT] == with_hands(fill, STANDARD)
    assert styles[StickingStyle.NONE_PRINTED] == fill
