"""One drum's line of a groove: only what is struck is counted."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Meter
from rhythms.engine.errors import CountLineError
from rhythms.engine.playback.groove_line import LineHit, read_line, spell_line
from tests.strategies import sounding_bars
from tests.thoroughness import examples

HALF, QUARTER = Fraction(1, 2), Fraction(1, 4)


def onsets(text: str, meter: str = "4/4", bars: int = 1) -> list[Fraction]:
    return [hit.onset for hit in read_line(text, Meter.parse(meter).over(bars))]


@pytest.mark.parametrize(
    ("text", "meter", "wanted"),
    [
        ("2 4", "4/4", [1, 3]),
        ("1 3 &", "4/4", [0, 2, 2 + HALF]),
        ("1 (2) & (4) &", "4/4", [0, 1 + HALF, 3 + HALF]),
        ("1 a 2 a", "2/4", [0, 3 * QUARTER, 1, 1 + 3 * QUARTER]),
        ("1 let", "3/4", [0, Fraction(2, 3)]),
        ("6", "6/8", [5 * HALF]),
        ("1 & - 3 4", "4/4", [0, HALF, 2, 3]),
        ("3> 7>", "7/8", [1, 3]),
    ],
)
def test_a_beat_that_is_left_out_is_silent(text, meter, wanted):
    assert onsets(text, meter) == wanted


def test_accents_and_ghost_notes_have_their_signs():
    dynamics = [hit.dynamic for hit in read_line("2> a< (3) e< 4", Meter(4, 4))]
    assert dynamics == ["accent", "ghost", "ghost", "normal"]


def test_each_stroke_knows_its_column():
    assert [hit.column for hit in read_line("  2> a<  4", Meter(4, 4))] == [2, 5, 9]


def test_a_line_of_one_bar_stands_for_both():
    assert onsets("2 4", bars=2) == [1, 3, 5, 7]


def test_a_line_of_two_bars_has_a_bar_line():
    assert onsets("1 (2) & 4 | 2 (3) &", bars=2) == [0, 1 + HALF, 3, 5, 6 + HALF]


@pytest.mark.parametrize(
    ("text", "column", "said"),
    [
        ("& 2", 0, "say which beat it is in. Expected 1 or (1)"),
        ("1 3 2", 4, "expected 4"),
        ("1 x", 2, "this is not a count"),
        ("2 5", 2, "a bar of 4/4 counts from 1 to 4"),
        ("(2)<", 0, "this is not a count. Expected 3, 3>, 3< or (3)"),
        ("2 3><", 2, "this is not a count"),
        ("1 | 2", 2, "this pattern has one bar: leave out the bar line"),
        ("1 | 2 | 3", 2, "this pattern has one bar"),
        ("1 | 2 | 3 | 4 | 5", 14, "4 bars at most"),
    ],
)
def test_a_line_that_cannot_be_read_says_where_and_why(text, column, said):
    with pytest.raises(CountLineError) as caught:
        read_line(text, Meter(4, 4))
    assert caught.value.column == column
    assert said in str(caught.value)


@examples(400)
@given(sounding_bars(), st.randoms(use_true_random=False))
def test_what_is_spelled_is_read_again(bar, random):
    """Over all rhythms that a bar can be counted in, with any dynamics."""
    hits = tuple(
        LineHit(note.onset, random.choice(("normal", "accent", "ghost"))) for note in bar.sounded
    )
    read = read_line(spell_line(hits, bar.meter), bar.meter)
    assert tuple(hit._replace(column=0) for hit in read) == hits


def test_a_drum_that_is_not_struck_has_an_empty_line():
    assert spell_line([], Meter(4, 4)) == ""
