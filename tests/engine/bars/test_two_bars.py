"""Fills of two bars: one bar with a bar line in it."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, FillSpace, Kit, Meter, RuleSet
from rhythms.engine.bars.spoken_counts import every_count, place_names
from rhythms.engine.errors import CountLineError, MeterError
from tests.strategies import bars, meters


@st.composite
def pairs(draw):
    """Two bars of one meter."""
    meter = str(draw(meters()))
    return draw(bars(meter)), draw(bars(meter))


@given(pairs())
def test_two_count_lines_with_a_bar_line_between_are_both_bars(pair):
    first, second = pair
    try:
        line = f"{first.counts()} | {second.counts()}"
    except Exception:
        return
    both = Bar.from_counts(line, first.meter)
    length = first.meter.length
    assert both.meter == first.meter.over(2)
    assert [note.onset for note in both.sounded] == [
        *(note.onset for note in first.sounded),
        *(length + note.onset for note in second.sounded),
    ]
    assert both.counts() == line
    assert Bar.from_json(both.to_json()) == both


def test_no_symbol_goes_over_the_bar_line():
    bar = Bar.from_counts("1 2 & 3 4 | - - & 3 4")
    assert [(note.onset, note.length, note.tie) for note in bar.notes if note.end > 3][:3] == [
        (3, 1, False),
        (4, Fraction(3, 2), True),
        (Fraction(11, 2), Fraction(1, 2), False),
    ]


def test_beats_are_counted_from_one_in_each_bar():
    meter = Meter(6, 8, 2)
    assert [(beat.onset, beat.number, beat.bar, beat.name) for beat in meter.beats] == [
        (0, 1, 1, "1"),
        (Fraction(3, 2), 4, 1, "4"),
        (3, 1, 2, "2-1"),
        (Fraction(9, 2), 4, 2, "2-4"),
    ]
    assert (meter.length, meter.bar_length, meter.one_bar) == (6, 3, Meter(6, 8))
    assert str(meter) == "6/8"


def test_every_count_of_both_bars_is_said():
    bar = Bar.from_counts("1 2 3 | 1 & (2) 3", "3/4")
    counts = every_count(tuple(note.onset for note in bar.notes), bar.meter)
    assert [label for _, label in counts] == ["1", "2", "3", "1", "&", "2", "3"]


def test_a_place_of_the_second_bar_is_named_with_its_bar():
    bar = Bar.from_counts("1 & 2 3 | 1 2 & 3", "3/4")
    names = place_names(tuple(note.onset for note in bar.sounded), bar.meter)
    assert names == ("1", "1 &", "2", "3", "bar 2, 1", "bar 2, 2", "bar 2, 2 &", "bar 2, 3")


@pytest.mark.parametrize(
    ("line", "column", "words"),
    [
        ("1 2 | 3 4", 4, "the bar is not full. Expected 3"),
        ("1 2 3 4 | 1 2 3", 15, "the bar is not full. Expected 4"),
        ("1 | 1 | 1 | 1 | 1", 14, "4 bars at most"),
        ("| 1 2 3 4", 0, "the bar is not full. Expected 1"),
        ("1 2 3 4 |", 9, "the bar is not full. Expected 1"),
        ("1 2 3 4 & a 1 2 3 4", 12, "expected"),
    ],
)
def test_a_line_that_is_no_two_bars_says_where_and_why(line, column, words):
    with pytest.raises(CountLineError, match=words) as caught:
        Bar.from_counts(line)
    assert caught.value.column == column


@pytest.mark.parametrize("bars", [0, 5])
def test_five_bars_are_no_fill(bars):
    with pytest.raises(MeterError, match="one to 4 bars"):
        Meter(4, 4, bars)


def test_all_that_two_bars_allow_is_counted():
    space = FillSpace(Bar.from_counts("1 2 3 4 | 1 2 & 3 4"), RuleSet.from_json([]), Kit.standard())
    assert space.size == len(Kit.standard().hand_surfaces) ** 9
    assert space.fill(space.rank(space.fill(12345))) == space.fill(12345)


def test_the_last_beats_of_two_bars_may_begin_in_the_first():
    bar = Bar.from_counts("1 2 3 4 & | 1 2 3 4")
    late = bar.last_beats(5)
    assert late.counts() == "(1) (2) (3) 4 & | 1 2 3 4"
    assert late.starts_at == 3
    assert len(late.lead_in) == 3
