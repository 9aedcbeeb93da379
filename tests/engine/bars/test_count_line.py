"""The count line: printing and reading are inverse, and errors say where."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Meter
from rhythms.engine.bars.spoken_counts import count_labels
from rhythms.engine.bars.writing import Event
from rhythms.engine.errors import (
    AmbiguousCountLineError,
    CountLineError,
    EngineError,
    NotCountableError,
)
from tests.strategies import bars
from tests.thoroughness import amount


def onsets(line: str, meter: str = "4/4") -> list[Fraction]:
    return [note.onset for note in Bar.from_counts(line, meter).sounded]


def values(line: str, meter: str = "4/4") -> list[str]:
    return [note.value for note in Bar.from_counts(line, meter).sounded]


def one_beat_bars() -> list[Bar]:
    """Every bar of 1/4 that the 16th, eighth-triplet and 16th-triplet grids can hold."""
    found: dict[Bar, None] = {}
    for parts in (4, 3, 6):
        for kinds in product(("sound", "accent", "rest", "hold"), repeat=parts):
            if kinds[0] == "hold":
                continue
            events = [
                Event(Fraction(k, parts), kind == "rest", kind == "accent")
                for k, kind in enumerate(kinds)
                if kind != "hold"
            ]
            found[Bar.from_events(Meter(1, 4), events)] = None
    return list(found)


def some_of(cases: list) -> list:
    """All of them, or a third, another one in every quick run."""
    return random.sample(cases, amount(len(cases), len(cases) // 3))


def ways_through_a_beat() -> list[tuple[Fraction, ...]]:
    """Every set of places where strokes start in a beat of 16ths, triplets or 16th triplets."""
    return [
        tuple(Fraction(k, parts) for k in range(parts) if mask >> k & 1)
        for parts in (4, 3, 6)
        for mask in range(2**parts)
    ]


def test_every_pair_of_beats_with_a_note_held_across_reads_back_as_it_is_printed():
    ways = dict.fromkeys(ways_through_a_beat())
    starting = [way for way in ways if 0 in way]
    held_into = [way for way in ways if 0 not in way]
    for first, second in some_of(list(product(starting, held_into))):
        onsets = (*first, *(1 + offset for offset in second))
        bar = Bar.from_events(Meter(2, 4), [Event(onset) for onset in onsets])
        assert Bar.from_counts(bar.counts(), bar.meter) == bar


def test_every_bar_of_one_beat_reads_back_as_it_is_printed():
    all_bars = one_beat_bars()
    assert len(all_bars) > 3000
    for bar in some_of(all_bars):
        assert Bar.from_counts(bar.counts(), bar.meter) == bar


@given(bars())
def test_any_bar_reads_back_as_it_is_printed(bar):
    assert Bar.from_counts(bar.counts(), bar.meter) == bar


@given(bars())
def test_any_bar_is_made_again_from_its_events(bar):
    assert Bar.from_events(bar.meter, bar.events()) == bar


@given(bars())
def test_notes_fill_the_bar_exactly(bar):
    assert sum(note.length for note in bar.notes) == bar.meter.length


@given(st.text(alphabet="1234 &eatriplt()->x", max_size=60), st.sampled_from(["4/4", "6/8", "7/8"]))
def test_anything_typed_is_a_bar_or_a_count_line_error(text, meter):
    try:
        bar = Bar.from_counts(text, meter)
    except CountLineError as error:
        assert 0 <= error.column <= len(text)
        assert error.message
    else:
        assert Bar.from_counts(bar.counts(), meter) == bar


# Syllables and positions: the traditional American system, as in the published counting
# tables (mramusicplace.net 2014-03-19 for 16ths); six parts are common practice.
@pytest.mark.parametrize(
    ("line", "positions"),
    [
        ("1", ["0"]),
        ("1 &", ["0", "1/2"]),
        ("1 e & a", ["0", "1/4", "1/2", "3/4"]),
        ("1 & a", ["0", "1/2", "3/4"]),
        ("1 e &", ["0", "1/4", "1/2"]),
        ("1 e a", ["0", "1/4", "3/4"]),
        ("1 a", ["0", "3/4"]),
        ("1 trip let", ["0", "1/3", "2/3"]),
        ("1 trip let & trip let", ["0", "1/6", "1/3", "1/2", "2/3", "5/6"]),
    ],
)
def test_syllables_stand_where_the_published_tables_put_them(line, positions):
    assert onsets(line, "1/4") == [Fraction(position) for position in positions]


def test_compound_meters_count_eighths_with_and_between():
    assert onsets("1 & 2 & 3 & 4 5 6", "6/8") == [
        Fraction(n, 4) for n in (0, 1, 2, 3, 4, 5, 6, 8, 10)
    ]


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("1 & 2 e & a 3 & 4 e & a", ["eighth"] * 2 + ["16th"] * 4 + ["eighth"] * 2 + ["16th"] * 4),
        ("1 & - & 3 4", ["eighth", "quarter", "eighth", "quarter", "quarter"]),
        ("1 - & 3 -", ["dotted quarter", "eighth", "half"]),
        ("1 a 2 e a 3 trip let 4", ["dotted eighth", "16th", "16th", "eighth", "16th"]
            + ["eighth triplet"] * 3 + ["quarter"]),
        ("1 trip let & trip let 2 let 3 4", ["16th triplet"] * 6
            + ["quarter triplet", "eighth triplet", "quarter", "quarter"]),
        ("1 (&) 2 3 4", ["eighth", "quarter", "quarter", "quarter"]),
    ],
)  # fmt: skip
def test_what_is_not_counted_belongs_to_the_note_before(line, expected):
    assert values(line) == expected


def test_a_note_across_the_middle_of_the_bar_is_tied_so_that_beats_stay_visible():
    bar = Bar.from_counts("1 2 & - 4")
    assert [(note.value, note.tie) for note in bar.notes] == [
        ("quarter", False),
        ("eighth", False),
        ("eighth", False),
        ("quarter", True),
        ("quarter", False),
    ]
    assert [note.length for note in bar.sounded] == [1, Fraction(1, 2), Fraction(3, 2), 1]


def test_an_accent_is_kept_on_its_note():
    assert [note.accent for note in Bar.from_counts("1> 2 3> 4").sounded] == [
        True,
        False,
        True,
        False,
    ]


@pytest.mark.parametrize("typed", ["1 + 2 AND 3 & 4", "  1  & 2 &   3 & 4 "])
def test_and_may_be_typed_in_other_ways(typed):
    assert Bar.from_counts(typed) == Bar.from_counts("1 & 2 & 3 & 4")


def test_a_dash_inside_a_beat_holds_the_count_it_stands_for():
    assert Bar.from_counts("1 e - a 2 3 4") == Bar.from_counts("1 e a 2 3 4")


def test_six_parts_held_in_the_middle_are_not_taken_for_three():
    held = Bar.from_counts("1 trip let -& 2 3 4")
    assert held.notes[2].length == Fraction(2, 3)
    assert held != Bar.from_counts("1 trip let 2 3 4")


@pytest.mark.parametrize(
    ("line", "column", "expected"),
    [
        ("1 & 2 e & a 3 & 5", 16, ()),
        ("1 2 4", 4, ("3", "-")),
        ("1 & a e 2 3 4", 6, ("2", "-")),
        ("1 e a 2 e a 3 e a 4 e trip", 22, ("&", "a", "the end of the bar")),
        ("1 2 3", 5, ("4", "-")),
        ("1 2 3 (4", 6, ("3", "(3)", "3>", "-")),
        ("1 2 3 four", 6, ("a number", "e", "&", "a", "trip", "let")),
        ("", 0, ("1", "-")),
        ("- 2 3 4", 0, ("1", "(1)")),
    ],
)
def test_an_error_gives_the_column_and_what_was_expected_there(line, column, expected):
    with pytest.raises(CountLineError) as caught:
        Bar.from_counts(line)
    assert caught.value.column == column
    for word in expected:
        assert word in caught.value.expected
    assert f"column {column + 1}" in caught.value.message


def test_dashes_that_can_be_read_in_two_ways_are_refused():
    with pytest.raises(AmbiguousCountLineError, match="name what is held"):
        Bar.from_counts("1 - & - - 4")
    assert Bar.from_counts("1 -2 & -3 4") == Bar.from_counts("1 - & - 4")


def test_an_accented_rest_is_refused():
    with pytest.raises(CountLineError):
        Bar.from_counts("1 2 3 (4)>")


def test_a_bar_with_32nds_has_no_count_line():
    bar = Bar.from_events(Meter(1, 4), [Event(Fraction(k, 8)) for k in range(8)])
    with pytest.raises(NotCountableError, match="Beat 1"):
        bar.counts()


def test_a_very_long_line_is_refused_at_once():
    with pytest.raises(CountLineError, match="at most"):
        Bar.from_counts("1 " * 10_000)


@pytest.mark.parametrize("meter", ["4", "4/5", "0/4", "16/4", "a/b", "4/4/4", ""])
def test_a_meter_that_is_not_counted_here_is_refused_in_words(meter):
    with pytest.raises(EngineError, match="meter"):
        Bar.from_counts("1 2 3 4", meter)


def test_labels_follow_the_grid_of_each_beat():
    positions = tuple(map(Fraction, ("0", "1/4", "1", "4/3", "2", "13/6", "5/2")))
    assert count_labels(positions, Meter(4, 4)) == ("1", "e", "2", "trip", "3", "trip", "&")
