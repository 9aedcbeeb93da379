"""What hands and feet can do in time where the notes swing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, Kit, Stroke
from rhythms.engine.bars.feel import EIGHTHS, LEAST, MOST, PAIRS, SIXTEENTHS, STRAIGHT, Feel
from rhythms.engine.fills.fill import HANDS
from rhythms.engine.fills.hands import as_taught, off_the_grid
from rhythms.engine.fills.playability import MOST_TEMPO, effort, fits_as_taught, top_tempo
from tests.engine.fills.test_playability import QUARTERS, feet_on, fill, handed, over
from tests.thoroughness import examples

KIT = Kit.standard()
#: Two eighths are 2/3 and 1/3 of a beat, two 16ths 1/3 and 1/6.
TRIPLET, TRIPLET_16THS = Feel(67), Feel(67, SIXTEENTHS)
#: Tempos are told to a millionth.
ROUNDING = 2e-6
COUNTS = {EIGHTHS: "1 & 2 & 3 & 4 &", SIXTEENTHS: "1 e & a 2 e & a 3 e & a 4 e & a"}
feels = st.builds(Feel, st.integers(LEAST, MOST), st.sampled_from(sorted(PAIRS)))


@examples(60)
@given(handed, feels)
def test_swing_brings_strokes_no_nearer_than_the_second_half_of_a_pair(played, feel):
    """Every gap lies in pairs whose halves last ``share`` and 1 - ``share`` of them: it is at least
    2 (1 - share) and at most 2 share of what it is straight, and so is the top tempo."""
    straight, swung = top_tempo(played, KIT), top_tempo(played, KIT, feel)
    share = float(feel.share)
    assert 2 * (1 - share) * straight <= swung + ROUNDING
    assert swung <= 2 * share * straight + ROUNDING


@examples(60)
@given(handed, st.sampled_from(sorted(PAIRS)))
def test_straight_is_what_it_was_whatever_would_swing(played, unit):
    feel = Feel(LEAST, unit)
    assert top_tempo(played, KIT, feel) == top_tempo(played, KIT)
    assert effort(played, KIT, 90, feel) == effort(played, KIT, 90)


@st.composite
def alternating(draw: st.DrawFn) -> tuple[Fill, Feel]:
    """Notes that swing, one hand on each half of the pairs, on any drums."""
    unit = draw(st.sampled_from(sorted(PAIRS)))
    bar = Bar.from_counts(COUNTS[unit])
    hands = draw(st.permutations(HANDS)) * len(bar.sounded)
    drums = [draw(st.sampled_from(KIT.hand_surfaces)) for _ in bar.sounded]
    strokes = (Stroke(drum, hand) for drum, hand in zip(drums, hands, strict=False))
    return Fill(bar, tuple(strokes)), Feel(draw(st.integers(LEAST + 1, MOST)), unit)


@examples(60)
@given(alternating())
def test_hands_that_take_turns_note_by_note_have_the_same_time_swung(of):
    """From each stroke of a hand to its next is a whole pair."""
    played, feel = of
    assert top_tempo(played, KIT, feel) == pytest.approx(top_tempo(played, KIT))


@st.composite
def closing_in(draw: st.DrawFn) -> tuple[Fill, Feel]:
    """Notes that swing, with no hand that goes from the first of a pair to the second of any."""
    unit = draw(st.sampled_from(sorted(PAIRS)))
    places = len(Bar.from_counts(COUNTS[unit]).sounded)
    was_first: dict[str, bool] = {}
    counts, strokes = [], []
    for place, count in zip(range(places), COUNTS[unit].split(), strict=True):
        first = place % 2 == 0
        may = [hand for hand in HANDS if first or not was_first.get(hand, False)]
        hand = draw(st.sampled_from([*may, None] if place else may))
        counts.append(count if hand else f"({count})")
        if hand:
            was_first[hand] = first
            strokes.append(Stroke(draw(st.sampled_from(KIT.hand_surfaces)), hand))
    played = Fill(Bar.from_counts(" ".join(counts)), tuple(strokes))
    return played, Feel(draw(st.integers(LEAST, MOST)), unit)


@examples(80)
@given(closing_in())
def test_where_no_gap_of_a_hand_grows_swing_makes_nothing_faster(of):
    played, feel = of
    assert top_tempo(played, KIT, feel) <= top_tempo(played, KIT) + ROUNDING


def on_counts(counts: str, surfaces: str, hands: str) -> Fill:
    return fill(surfaces, hands, Bar.from_counts(counts))


@pytest.mark.parametrize(
    ("played", "straight", "swung"),
    [
        # By hand: 0.11 s from floor tom to ride, in half a beat, or a third of one.
        (on_counts("1 & 2 3 4", "sfrss", "LRRLR"), 60 / 2 / 0.11, 60 / 3 / 0.11),
        # 0.075 s for a rebound, beyond MOST_TEMPO in half a beat.
        (on_counts("1 & 2 3 4", "sssss", "RLLRL"), MOST_TEMPO, 60 / 3 / 0.075),
        # From the beat on there are two thirds of it.
        (on_counts("1 & 2 3 4", "fhsss", "RRLRL"), 60 / 2 / 0.18834126, 60 * 2 / 3 / 0.18834126),
    ],
)
def test_a_hand_has_the_time_between_strokes_as_they_sound(played, straight, swung):
    assert top_tempo(played, KIT) == pytest.approx(straight)
    assert top_tempo(played, KIT, TRIPLET) == pytest.approx(swung)


@pytest.mark.parametrize(
    ("line", "feel", "straight", "swung"),
    [
        # By hand: 0.1 s for the second of two, in a fourth of a beat, or a sixth of one.
        ("1 a 2 a 3 a 4 a", TRIPLET_16THS, 150, 100),
        # In a third of a beat; straight, on and on at 7 a second.
        ("1 & 2 & 3 & 4 &", TRIPLET, 210, 200),
        # A triplet is not swung.
        ("1 trip let 2 3 4", TRIPLET_16THS, 140, 140),
    ],
)
def test_feet_that_keep_going_swing_as_well(line, feel, straight, swung):
    bar = Bar.from_counts("1 trip let 2 3 4") if "trip" in line else QUARTERS
    going = over(feet_on(line), bar=bar)
    assert top_tempo(going, KIT) == pytest.approx(straight)
    assert top_tempo(going, KIT, feel) == pytest.approx(swung)


@pytest.mark.parametrize(
    ("ornament", "next_on", "straight", "swung"),
    [
        # By hand: half of a quarter note is over after two thirds of the beat; 0.11 s to the ride.
        ("buzz", "r", 60 / 2 / 0.11, 60 / 3 / 0.11),
        # Straight, three strokes of a hand within a beat: 7 a second.
        ("diddle", "r", 210, 60 / 3 / 0.11),
    ],
)
def test_the_middle_of_a_note_is_where_it_sounds(ornament, next_on, straight, swung):
    plain = on_counts("1 2 3 4", f"f{next_on}ss", "RRLR")
    played = Fill(plain.bar, (plain.strokes[0]._replace(ornament=ornament), *plain.strokes[1:]))
    assert top_tempo(played, KIT) == pytest.approx(straight)
    assert top_tempo(played, KIT, TRIPLET) == pytest.approx(swung)


def test_eighths_that_are_counted_are_as_hard_as_straight():
    bar = Bar.from_counts("1 & 2 3 4 5 6", "6/8")
    played = fill("sfrsfrs", "RLLRRLL", bar)
    assert top_tempo(played, KIT, TRIPLET) == top_tempo(played, KIT) < MOST_TEMPO


def test_effort_grows_with_the_square_of_the_time_that_is_lost():
    """By hand: half a beat against a third of one, (3/2)² = 2.25."""
    double = on_counts("(1) & 2 (3) (4)", "sf", "LL")
    straight, swung = effort(double, KIT, 90), effort(double, KIT, 90, TRIPLET)
    assert swung.doubles == pytest.approx(2.25 * straight.doubles)
    assert swung.total == swung.doubles


def test_a_hand_leaves_the_grid_where_the_swung_move_would_not_fit():
    """Right to right from "&" to 2, floor tom to high tom, takes 0.188 s: at 120 there are 0.25 s
    straight, and 0.167 s swung."""
    opened = fill("sfhssss", bar=Bar.from_counts("1 & 2 & 3 e 4"))
    straight, swung = (as_taught(opened, KIT, 120, feel=feel) for feel in (STRAIGHT, TRIPLET))
    assert not off_the_grid(opened, straight, KIT)
    assert off_the_grid(opened, swung, KIT)
    assert fits_as_taught(opened, KIT, 120, TRIPLET)
