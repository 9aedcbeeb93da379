"""The count line: printing and reading are inverse, and errors say where."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Meter
from rhythms.engine.bars.spoken_counts import count_labels, count_names
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


#: Places of a beat of a quarter: even ones, and halves that are counted apart.
BEATS = [
    *(tuple(Fraction(k, parts) for k in range(parts)) for parts in (4, 3, 6, 5, 8)),
    *(
        (
            *(Fraction(k, 2 * first) for k in range(first)),
            *(Fraction(1, 2) + Fraction(k, 2 * second) for k in range(second)),
        )
        for first, second in product((2, 3, 4), repeat=2)
    ),
]


def one_beat_bars() -> list[Bar]:
    """Every bar of 1/4 of up to six even places, struck, accented, at rest or held."""
    found: dict[Bar, None] = {}
    for places in BEATS[:4]:
        for kinds in product(("sound", "accent", "rest", "hold"), repeat=len(places)):
            if kinds[0] == "hold":
                continue
            events = [
                Event(place, kind == "rest", kind == "accent")
                for place, kind in zip(places, kinds, strict=True)
                if kind != "hold"
            ]
            found[Bar.from_events(Meter(1, 4), events)] = None
    return list(found)


def some_of(cases: list, most: int = 100_000) -> list:
    """So many of them, or a tenth, other ones in every quick run."""
    most = min(most, len(cases))
    return random.sample(cases, amount(most, most // 10))


def ways_through_a_beat() -> list[tuple[Fraction, ...]]:
    """Every set of places where strokes start in a beat that can be counted."""
    ways = dict.fromkeys(
        tuple(place for k, place in enumerate(places) if mask >> k & 1)
        for places in BEATS
        for mask in range(2 ** len(places))
    )
    return list(ways)


def test_every_pair_of_beats_with_a_note_held_across_reads_back_as_it_is_printed():
    ways = ways_through_a_beat()
    starting = [way for way in ways if 0 in way]
    held_into = [way for way in ways if 0 not in way]
    for first, second in some_of(list(product(starting, held_into)), 12_000):
        onsets = (*first, *(1 + offset for offset in second))
        bar = Bar.from_events(Meter(2, 4), [Event(onset) for onset in onsets])
        assert Bar.from_counts(bar.counts(), bar.meter) == bar


def test_every_bar_of_one_beat_reads_back_as_it_is_printed():
    all_bars = one_beat_bars()
    assert len(all_bars) > 3700
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


@given(
    st.text(alphabet="1234 &eatriplkdm()->x|", max_size=60)
    | st.lists(
        st.sampled_from(["1", "2", "3", "4", *"e&a|-", "ta", "trip", "let", "ka", "-&", "(4)"]),
        max_size=12,
    ).map(" ".join),
    st.sampled_from(["2/4", "4/4", "6/8", "7/8 (3+2+2)"]),
)
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
        # Takadimi has ta ka di mi ti for five (Hoffman, Pelto and White, “Takadimi: a beat-oriented
        # system of rhythm pedagogy”, 1996); the number stands for its first.
        ("1 ka di mi ti", ["0", "1/5", "2/5", "3/5", "4/5"]),
        # “ta” is what the Eastman system says between the places that it names.
        ("1 ta e ta & ta a ta", ["0", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"]),
        ("1 & a ta", ["0", "1/2", "3/4", "7/8"]),
        ("1 -e ta a", ["0", "3/8", "3/4"]),
        ("1 e & trip let", ["0", "1/4", "1/2", "2/3", "5/6"]),
        ("1 trip let & a", ["0", "1/6", "1/3", "1/2", "3/4"]),
        ("1 trip -& a ta", ["0", "1/6", "3/4", "7/8"]),
    ],
)
def test_syllables_stand_where_the_published_tables_put_them(line, positions):
    assert onsets(line, "1/4") == [Fraction(position) for position in positions]


def test_compound_meters_count_eighths_with_and_between():
    assert onsets("1 & 2 & 3 & 4 5 6", "6/8") == [
        Fraction(n, 4) for n in (0, 1, 2, 3, 4, 5, 6, 8, 10)
    ]


def test_each_counted_eighth_may_be_divided_by_itself():
    line = "1 e & a 2 trip let 3 & 4 -5 trip let 6"
    bar = Bar.from_counts(line, "6/8")
    eighths = (1, 4), (2, 3), (3, 2), (4, 1), (5, 3), (6, 1)
    struck = {
        Fraction(number - 1, 2) + Fraction(k, 2 * parts)
        for number, parts in eighths
        for k in range(parts)
    }
    assert {note.onset for note in bar.sounded} == struck - {Fraction(2)}
    assert bar.counts() == line


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
        ("1 ta e ta & a ta 2 3 4", ["32nd"] * 4 + ["16th"] + ["32nd"] * 2
            + ["quarter"] * 3),
        ("1 ka di mi ti 2 di 3 ti 4", ["16th quintuplet"] * 5 + ["eighth quintuplet",
            "dotted eighth quintuplet", "quarter quintuplet", "16th quintuplet", "quarter"]),
        ("1 e & trip let 2 trip -& a 3 4", ["16th"] * 2 + ["16th triplet"] * 4
            + ["eighth triplet", "16th", "quarter", "quarter"]),
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
        ("1 ta ta 2 3 4", 5, ("e", "&", "a", "2", "-")),
        ("1 e trip let 2 3 4", 4, ("&", "a", "2", "-", "ta")),
    ],
)
def test_an_error_gives_the_column_and_what_was_expected_there(line, column, expected):
    with pytest.raises(CountLineError) as caught:
        Bar.from_counts(line)
    assert caught.value.column == column
    for word in expected:
        assert word in caught.value.expected
    assert f"column {column + 1}" in caught.value.message


@pytest.mark.parametrize(
    ("line", "meter", "column", "words"),
    [
        ("1 trip let ka 2 3 4", "4/4", 11, "five in a beat do not go with other counts"),
        ("1 ka & 2 3 4", "4/4", 5, "five in a beat do not go with other counts"),
        ("1 2 3 ka - mi ti 4", "4/4", 17, "name what is held, such as -di"),
        ("1 ka di mi - 2 3 4", "4/4", 13, "a dash alone is a whole beat"),
        ("1 ka di mi ti - ka di mi ti 4", "4/4", 28, "“4”: expected 3 or -"),
        ("1 ka di 2 3", "3/8", 2, "five in a beat are counted in meters of quarters"),
        ("4 & 1 2 3 4", "4/4", 0, r"a bar begins on 1; behind notes before it type “\|”"),
    ],
)
def test_counts_that_do_not_go_together_are_refused_in_words(line, meter, column, words):
    with pytest.raises(CountLineError, match=words) as caught:
        Bar.from_counts(line, meter)
    assert caught.value.column == column


def test_dashes_that_can_be_read_in_two_ways_are_refused():
    with pytest.raises(AmbiguousCountLineError, match="name what is held"):
        Bar.from_counts("1 - & - - 4")
    assert Bar.from_counts("1 -2 & -3 4") == Bar.from_counts("1 - & - 4")


def test_an_accented_rest_is_refused():
    with pytest.raises(CountLineError):
        Bar.from_counts("1 2 3 (4)>")


def test_a_beat_finer_than_32nds_has_no_count_line():
    bar = Bar.from_events(Meter(1, 4), [Event(Fraction(k, 12)) for k in range(12)])
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
    positions = tuple(map(Fraction, ("0", "1/4", "1", "4/3", "2", "13/6", "5/2", "3", "17/5")))
    labels = ("1", "e", "2", "trip", "3", "trip", "&", "4", "di")
    assert count_labels(positions, Meter(4, 4)) == labels


def test_a_32nd_is_named_with_the_16th_before_it():
    bar = Bar.from_counts("1 ta e ta & ta a ta", "1/4")
    names = count_names(tuple(note.onset for note in bar.sounded), bar.meter)
    assert names == ("1", "1 ta", "1 e", "1 e ta", "1 &", "1 & ta", "1 a", "1 a ta")
