"""Bars: notes fill their meter exactly, or the error says where they do not."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Meter, Note
from rhythms.engine.bars.writing import Event
from rhythms.engine.errors import BarError, MeterError
from tests.strategies import bars, meters

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
        ("7/8 (3+2+2)", [3, 2, 2]),
        ("2+3+2/8", [2, 3, 2]),
        ("9/8 (2+2+2+3)", [2, 2, 2, 3]),
        ("5/4 (3+2)", [2] * 5),
    ],
)
def test_beats_are_grouped_as_they_are_felt(meter, lengths):
    assert [beat.length * 2 for beat in Meter.parse(meter).beats] == lengths


def test_a_meter_grouped_as_usual_is_the_same_however_it_is_written():
    assert Meter.parse("7/8 (2+2+3)") == Meter.parse("2+2+3/8") == Meter(7, 8)
    assert hash(Meter(7, 8, groups=(2, 2, 3))) == hash(Meter(7, 8))
    assert str(Meter.parse(" 3 + 2 + 2 / 8 ")) == "7/8 (3+2+2)"


@given(meters())
def test_a_meter_is_read_as_it_is_printed(meter):
    assert Meter.parse(str(meter)) == meter


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("7/8 (3+2+1)", "the groups 3\\+2\\+1 make 6; a bar of 7/8 has 7 counts"),
        ("7/8 (5+2)", "a bar has groups of 1 to 4 counts"),
        ("7/8 (7+0)", "a bar has groups of 1 to 4 counts"),
        ("7/8 (3+2+2", "not a meter: write it as 4/4, 6/8 or 7/8 \\(3\\+2\\+2\\)"),
        ("3+4/8 (3+4)", "not a meter"),
        ("4/4 (4)", "a bar has groups of 1 to 4 counts"),
        ("9+9/8", "18/8 is not a meter this tool counts"),
    ],
)
def test_groups_that_are_no_bar_are_refused_in_words(text, words):
    with pytest.raises(MeterError, match=words):
        Meter.parse(text)


@pytest.mark.parametrize(
    ("line", "values"),
    [
        ("1 - - - -", ["dotted half", "half"]),
        ("1 - 3 - 5", ["half", "quarter", "quarter", "quarter"]),
        ("1 & - & - & 4 5", ["eighth", "quarter", "quarter", "eighth", "quarter", "quarter"]),
        (
            "1 2 3 & - & 5",
            ["quarter", "quarter", "eighth", "eighth", "eighth", "eighth", "quarter"],
        ),
    ],
)
def test_groups_of_quarters_stay_visible(line, values):
    """A note fills whole groups, or is tied where the next one begins."""
    assert [note.value for note in Bar.from_counts(line, "5/4 (3+2)").notes] == values


def test_stored_bars_of_today_read_and_print_as_they_did():
    """As the code before groups, pick-ups, 32nds and fives stored them."""
    stored = {
        "meter": "7/8",
        "notes": [["0", "1/2", "eighth", "a"], ["1/2", "3/2", "dotted quarter", "r"]],
    }
    stored["notes"] += [["2", "1", "quarter", ""], ["3", "1/2", "eighth", "t"]]
    bar = Bar.from_json(stored)
    assert bar.to_json() == stored
    late = {
        "meter": "2/4",
        "bars": 2,
        "notes": [["0", "1", "quarter", "r"], ["1", "1", "quarter", ""]],
    }
    late["notes"] += [["2", "2", "half", ""]]
    assert Bar.from_json(late).to_json() == late
    assert Bar.from_json(late).counts() == "(1) 2 | 1 -"
