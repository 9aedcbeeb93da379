"""A part of a fill is a bar of its own: whole beats, with the strokes that the fill has there."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Surface
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.fills.fill_part import FEWEST_BEATS, all_of, half_of, part_around
from tests.strategies import fills

SIXTEENTHS = snare_fill(Bar.from_counts("1 & 2 e & a 3 & a 4 e & a"))


@st.composite
def fills_and_notes(draw):
    fill = draw(fills().filter(lambda fill: fill.strokes))
    first = draw(st.integers(0, len(fill.strokes) - 1))
    return fill, [first, min(first + draw(st.integers(0, 1)), len(fill.strokes) - 1)]


@given(fills_and_notes())
def test_the_part_has_its_notes_and_the_strokes_of_the_fill(drawn):
    fill, notes = drawn
    part = part_around(fill, notes)
    assert set(notes) <= set(part.notes)
    assert part.fill.strokes == fill.strokes[part.first : part.first + len(part.fill.strokes)]


@given(fills_and_notes())
def test_its_notes_are_as_far_apart_as_in_the_fill(drawn):
    fill, notes = drawn
    part = part_around(fill, notes)
    inside = [fill.bar.sounded[index].onset for index in part.notes]
    own = [note.onset for note in part.fill.bar.sounded]
    assert {a - b for a, b in zip(inside, own, strict=True)} in [{inside[0] - own[0]}, set()]


@given(fills().filter(lambda fill: fill.strokes))
def test_a_half_and_the_whole_can_always_be_cut(fill):
    assert set(all_of(fill).notes) == set(range(len(fill.strokes)))
    assert half_of(fill, second=True).fill.strokes
    assert half_of(fill, second=False).first == 0


@pytest.mark.parametrize(
    ("notes", "counts", "first"),
    [
        ([7], "1 & a 2 e & a", 6),
        ([0], "1 & 2 e & a", 0),
        ([12], "1 & a 2 e & a", 6),
        ([5, 6], "1 e & a 2 & a", 2),
    ],
)
def test_the_notes_around_are_there_and_no_more_than_half_a_bar(notes, counts, first):
    part = part_around(SIXTEENTHS, notes)
    assert (part.fill.bar.counts(), part.first) == (counts, first)
    assert len(part.fill.bar.meter.beats) == FEWEST_BEATS


def test_what_is_held_over_from_before_is_silent_in_the_part():
    fill = snare_fill(Bar.from_counts("1 & 2 - 3 & 4 &", "4/4"))
    late = part_around(snare_fill(Bar.from_counts("1 (&) (2) & - 3 4")), [2])
    assert late.fill.strokes
    assert part_around(fill, [4]).fill.bar.meter.count == FEWEST_BEATS


@pytest.mark.parametrize(
    ("counts", "meter", "own"),
    [("1 2 3 4 5 6", "6/8", "6/8"), ("1 2 3 4 5 6 7", "7/8", "4/8"), ("1 & 2 & 3 &", "3/4", "2/4")],
)
def test_beats_keep_their_length_in_every_meter(counts, meter, own):
    assert str(
        half_of(snare_fill(Bar.from_counts(counts, meter)), second=False).fill.bar.meter
    ) in (
        own,
        "3/8",
    )


def test_a_triplet_over_two_beats_is_taken_whole():
    part = part_around(SIXTEENTHS, [7])
    assert {stroke.surface for stroke in part.fill.strokes} == {Surface.SNARE}
