"""Bars: notes fill their meter exactly, or the error says where they do not."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Meter, Note
from rhythms.engine.bars.writing import Event
from rhythms.engine.errors import BarError
from tests.strategies import bars

QUARTER = Fraction(1)


def quarter(onset: int, **flags: bool) -> Note:
    return Note(Fraction(onset), QUARTER, "quarter", **flags)


@given(bars())
def test_a_bar_survives_being_stored(bar):
    assert Bar.from_json(bar.to_json()) == bar


@given(bars(), st.integers(1, 15))
def test_the_last_beats_of_a_bar_keep_their_strokes_and_begin_after_rests(bar, number):
    late = bar.last_beats(number)
    start = bar.meter.beats[-number:][0].onset
    assert [note.onset for note in late.sounded] == [
        note.onset for note in bar.sounded if note.onset >= start
    ]
    assert late.starts_at >= start
    assert late.last_beats(number) == late
    assert {beat.end for beat in late.lead_in} >= (
        {beat.end for beat in bar.meter.beats[:-number]} if late.sounded else set()
    )


def test_all_beats_of_a_bar_are_the_bar():
    bar = Bar.from_counts("1 - - & 4")
    assert bar.last_beats(4) is bar
    assert bar.last_beats(2).counts() == "(1) (2) (3) & 4"


def test_no_beat_is_no_fill():
    with pytest.raises(BarError, match="one beat at least"):
        Bar.from_counts("1 2 3 4").last_beats(0)


@pytest.mark.parametrize(
    ("notes", "note", "words"),
    [
        ((quarter(0),), 0, "lasts 2"),
        ((quarter(0), quarter(1), quarter(2)), 2, "lasts 2"),
        ((quarter(0), Note(Fraction(3, 2), QUARTER, "quarter")), 1, "should start at 1"),
        ((quarter(0), Note(QUARTER, QUARTER, "eighth")), 1, "lasts 1/2"),
        ((quarter(0), Note(QUARTER, QUARTER, "crotchet")), 1, "not a value class"),
        ((quarter(0, tie=True), quarter(1)), 0, "tie"),
        ((quarter(0, rest=True), quarter(1, tie=True)), 1, "tie"),
        ((quarter(0), quarter(1, rest=True, accent=True)), 1, "accent"),
    ],
)
def test_notes_that_do_not_fill_the_bar_are_refused_with_their_place(notes, note, words):
    with pytest.raises(BarError, match=words) as caught:
        Bar(Meter(2, 4), notes)
    assert caught.value.note == note


def test_a_long_note_off_the_beat_shows_the_parts_of_its_beat_first():
    bar = Bar.from_events(Meter.parse("9/8"), [Event(Fraction(0)), Event(Fraction(7, 4))])
    tied = [note.value for note in bar.notes if note.onset >= Fraction(7, 4)]
    assert tied == ["16th", "quarter", "dotted quarter"]


def test_a_bar_without_a_first_event_is_refused():
    with pytest.raises(BarError, match="first count"):
        Bar.from_events(Meter(2, 4), [Event(QUARTER)])


@pytest.mark.parametrize("data", [None, {}, {"meter": "4/4"}, {"meter": "4/4", "notes": [["x"]]}])
def test_what_is_not_a_stored_bar_is_refused(data):
    with pytest.raises(BarError, match="not a stored bar"):
        Bar.from_json(data)


# Common practice: beats of three eighths in compound meters, 2+2+3 in 7/8.
@pytest.mark.parametrize(
    ("meter", "lengths"),
    [
        ("2/4", [2, 2]),
        ("5/4", [2] * 5),
        ("7/4", [2] * 7),
        ("6/8", [3, 3]),
        ("9/8", [3, 3, 3]),
        ("12/8", [3] * 4),
        ("7/8", [2, 2, 3]),
        ("5/8", [2, 3]),
    ],
)
def test_beats_are_grouped_as_they_are_felt(meter, lengths):
    assert [beat.length * 2 for beat in Meter.parse(meter).beats] == lengths
