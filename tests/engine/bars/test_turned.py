"""A rhythm turned round, begun later, or with an answer left open behind it."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rhythms.engine import Bar, FillSpace, Kit, RuleSet
from rhythms.engine.bars.turned import backwards, begun_later, with_own_answer
from rhythms.engine.errors import BarError, MeterError
from rhythms.engine.space.conflict import conflict_in_words
from tests.strategies import bars


@pytest.mark.parametrize(
    ("counts", "meter", "turned"),
    [
        ("1 & 2 e & a 3 & 4 e & a", "4/4", "1 e & a 2 & 3 e & a 4 &"),
        ("1 a 2 & 3> 4", "4/4", "1 2> 3 & 4 e"),
        ("(1) & 2", "2/4", "1 2 (&)"),
        ("1 2 & 3 4 5 6", "6/8", "1 2 3 4 5 & 6"),
        ("1 & a 2 | 1 2 & a", "2/4", "1 e & 2 | 1 2 e &"),
    ],
)
def test_backwards_the_last_note_comes_first(counts, meter, turned):
    assert backwards(Bar.from_counts(counts, meter)).counts() == turned


@given(bars())
def test_backwards_twice_is_the_bar_itself(bar):
    try:
        turned = backwards(bar)
    except BarError:
        assume(False)
    # Rests are written anew at each turn: what sounds, and how long, is the same.
    again = backwards(turned)
    assert [(n.onset, n.length, n.accent) for n in again.sounded] == [
        (n.onset, n.length, n.accent) for n in bar.sounded
    ]


@pytest.mark.parametrize(
    ("counts", "meter", "by", "later"),
    [
        ("1 & 2 e & a", "2/4", Fraction(1, 2), "(1) & 2 & a"),
        ("1 2 3 4", "4/4", Fraction(1, 4), "(1) e - e - e - e"),
        ("1 2 | 3> 4", "2/4", Fraction(1, 2), "(1) & - & | - &> - &"),
    ],
)
def test_begun_later_the_end_is_left_off(counts, meter, by, later):
    counts = counts.replace("| 3> 4", "| 1> 2")
    assert begun_later(Bar.from_counts(counts, meter), by).counts() == later


@given(bars(), st.sampled_from([Fraction(1, 4), Fraction(1, 2), Fraction(3, 4)]))
def test_begun_later_every_stroke_is_as_much_later(bar, by):
    try:
        later = begun_later(bar, by)
    except BarError:
        assume(False)
    moved = [(n.onset + by, n.accent) for n in bar.sounded if n.onset + by < bar.meter.length]
    assert [(note.onset, note.accent) for note in later.sounded] == moved


def test_an_answer_is_as_long_as_the_call_and_nothing_stands_in_it():
    open_bar = with_own_answer(Bar.from_counts("1 & 2 3 4"))
    assert (open_bar.meter.bars, open_bar.open_from) == (2, 4)
    assert all(note.rest for note in open_bar.notes if note.onset >= 4)
    assert with_own_answer(open_bar) == open_bar
    assert Bar.from_json(open_bar.to_json()) == open_bar


def test_what_is_left_open_stays_open_behind_another_rhythm():
    call = Bar.from_counts("1 & 2 3 4")
    assert backwards(with_own_answer(call)) == with_own_answer(backwards(call))


def test_a_note_where_the_bar_is_left_open_is_refused():
    with pytest.raises(BarError, match="left open for an answer"):
        Bar.from_json({**Bar.from_counts("1 2 3 4").to_json(), "open_from": "2"})


def test_a_bar_that_is_stored_without_an_answer_is_read_as_before():
    assert "open_from" not in Bar.from_counts("1 2 3 4").to_json()


def test_a_rhythm_that_cannot_be_written_leaves_no_fills_and_says_why():
    triplets = Bar.from_counts("1 trip let 2 trip let", "2/4")
    rules = RuleSet.from_json([{"rule": "start later", "on": "e"}])
    space = FillSpace(triplets, rules, Kit.standard())
    with pytest.raises(BarError):
        begun_later(triplets, Fraction(1, 4))
    assert space.size == 0
    assert "cannot be written in notes" in conflict_in_words(space)


def test_a_call_that_is_too_long_for_an_answer_is_refused():
    longest = Bar.from_counts("1 2 | 1 2", "2/4")
    with pytest.raises(MeterError):
        with_own_answer(with_own_answer_twice(longest))


def with_own_answer_twice(bar: Bar) -> Bar:
    opened = with_own_answer(bar)
    return Bar(opened.meter, opened.notes)
