"""Pick-ups: notes before the bar line of a fill, in a bar of which only its end is written."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, FillSpace, Kit, Meter, RuleSet
from rhythms.engine.bars.phrases import phrase_of
from rhythms.engine.bars.spoken_counts import place_names
from rhythms.engine.bars.turned import with_own_answer
from rhythms.engine.bars.writing import Event
from rhythms.engine.errors import BarError, CountLineError, MeterError
from rhythms.notation import svg
from tests.published.fills_of_all_rules import RULES
from tests.strategies import bars_with_pickup


@given(bars_with_pickup())
def test_a_bar_with_a_pickup_reads_back_as_it_is_printed(bar):
    assert Bar.from_counts(bar.counts(), bar.meter.one_bar) == bar
    assert Bar.from_json(bar.to_json()) == bar
    assert Bar.from_events(bar.meter, bar.events()) == bar


@given(bars_with_pickup())
def test_before_a_pickup_there_is_silence(bar):
    opens = bar.meter.opens_at
    assert opens == bar.meter.bar_length - Fraction(4 * bar.meter.pickup, bar.meter.unit)
    assert all(note.rest for note in bar.notes if note.onset < opens)
    assert all(note.onset >= opens for note in bar.sounded)
    assert all(count.offset >= opens for count in bar.spoken)


@given(bars_with_pickup(), st.integers(1, 16))
def test_the_last_beats_behind_a_pickup_keep_their_strokes(bar, number):
    late = bar.last_beats(number)
    written = len(bar.meter.written_beats)
    start = bar.meter.beats[-min(number, written) :][0].onset
    moved = 0 if late.meter == bar.meter else bar.meter.bar_length
    assert [note.onset + moved for note in late.sounded] == [
        note.onset for note in bar.sounded if note.onset >= start
    ]
    assert (late.meter == bar.meter) == (start < bar.meter.bar_length)


@pytest.mark.parametrize(
    ("typed", "meter", "printed", "pickup"),
    [
        ("4 & | 1 2 3 4", "4/4", "4 & | 1 2 3 4", 1),
        ("& | 1 - 3 -", "4/4", "(4) & | 1 - 3 -", 1),
        ("a ta | 1 - - -", "4/4", "(4) a ta | 1 - - -", 1),
        ("(let) | 1 2 3", "3/4", "(3) (let) | 1 2 3", 1),
        ("3 e & a 4 | 1 - - -", "4/4", "3 e & a 4 | 1 - - -", 2),
        ("6 | 1 2 3 4 5 6", "6/8", "6 | 1 2 3 4 5 6", 1),
        ("& | 1 - - 4 - -", "6/8", "(6) & | 1 4", 1),
        ("5 trip let 6 | 1 4", "6/8", "5 trip let 6 | 1 4", 2),
        ("6 7 | 1 4 6", "7/8 (3+2+2)", "6 7 | 1 4 6", 2),
    ],
)
def test_a_pickup_is_typed_before_the_bar_line(typed, meter, printed, pickup):
    bar = Bar.from_counts(typed, meter)
    assert bar.counts() == printed
    assert (bar.meter.pickup, bar.meter.bars) == (pickup, 2)


def test_a_pickup_starts_where_it_is_counted():
    bar = Bar.from_counts("& | 1 - 3 -")
    assert [note.onset for note in bar.sounded] == [Fraction(7, 2), 4, 6]
    assert [beat.number for beat in bar.lead_in] == [1, 2, 3]
    assert [beat.name for beat in bar.meter.written_beats] == ["4", "2-1", "2-2", "2-3", "2-4"]


def test_places_of_a_pickup_are_named_apart():
    bar = Bar.from_counts("4 & | 1 2 & 3 4")
    names = place_names(tuple(note.onset for note in bar.sounded), bar.meter)
    assert names[:4] == ("pick-up, 4", "pick-up, 4 &", "1", "2")


@pytest.mark.parametrize(
    ("line", "column", "words"),
    [
        ("2 3 4 1 2 | 1 2 3 4", 6, "a pick-up is shorter than a bar, and the bar line ends it"),
        ("3 | 1 2 3 4", 2, "the bar is not full. Expected"),
        ("-4 | 1 2 3 4", 0, "nothing to hold yet"),
        ("4 | 1 2 3", 9, "the bar is not full. Expected 4"),
        ("4 | 1 - - - | 1 - - - | 1 - - - | 1 - - -", 32, "4 bars at most"),
        ("x | 1 2 3 4", 0, "this is not a count"),
    ],
)
def test_a_line_that_is_no_pickup_and_bar_says_where_and_why(line, column, words):
    with pytest.raises(CountLineError, match=words) as caught:
        Bar.from_counts(line)
    assert caught.value.column == column


@pytest.mark.parametrize(("counts", "bars"), [(4, 2), (-1, 2), (1, 1)])
def test_a_pickup_is_shorter_than_a_bar_and_stands_before_one(counts, bars):
    with pytest.raises(MeterError, match="shorter than a bar of 4/4, and stands before one"):
        Meter(4, 4, bars, pickup=counts)


def test_nothing_sounds_before_a_pickup():
    meter = Meter(2, 4).after_pickup(1)
    with pytest.raises(BarError, match="Before a pick-up there is silence"):
        Bar.from_events(meter, [Event(Fraction(0)), Event(Fraction(1))])
    data = Bar.from_counts("2 | 1 2", "2/4").to_json()
    with pytest.raises(BarError, match="before a pick-up there is silence"):
        Bar.from_json(data | {"notes": [["0", "1", "quarter", ""], *data["notes"][1:]]})


def test_all_that_a_pickup_and_its_bar_allow_is_counted():
    kit = Kit.standard()
    space = FillSpace(Bar.from_counts("4 & | 1 2 3 4"), RuleSet.from_json([]), kit)
    assert space.size == len(kit.hand_surfaces) ** 6
    assert space.fill(space.rank(space.fill(1234))) == space.fill(1234)


def test_feet_that_take_the_rests_leave_the_silence_before_a_pickup():
    bar = Bar.from_counts("(4) & | 1 (2) 3 4")
    rules = RuleSet.from_json([{"rule": "feet", "on": "rests", "foot": "bass drum"}])
    fill = FillSpace(bar, rules, Kit.standard()).fill(0)
    assert fill.bar.counts() == "4 & | 1 2 3 4"
    assert [stroke.by_foot for stroke in fill.strokes] == [True, False, False, True, False, False]


@pytest.mark.parametrize("rule", sorted(RULES))
def test_every_rule_counts_the_fills_of_a_pickup_and_its_bar(rule):
    """Whatever a rule does to the rhythm, its fills are bars that can be counted and drawn."""
    for bar in (Bar.from_counts("4 & | 1 & 2 3 4"), Bar.from_counts("& | 1 e & a 2 - 4")):
        for rules in RULES[rule]:
            space = FillSpace(bar, RuleSet.from_json(rules), Kit.standard())
            for rank in {0, space.size // 2, space.size - 1} if space.size else ():
                fill = space.fill(rank)
                assert space.rank(fill) == rank
                assert Fill.from_json(fill.to_json()) == fill
                assert "<svg" in svg(fill, counts=True)


def test_a_pickup_is_not_answered():
    asked = with_own_answer(Bar.from_counts("4 & | 1 2 3 4"))
    assert (asked.meter.pickup, asked.meter.bars, asked.open_from) == (1, 3, 8)
    assert asked.counts() == "4 & | 1 2 3 4 | (1) - - -"


def test_a_fill_with_a_pickup_ends_a_phrase():
    phrase = phrase_of(Bar.from_counts("4 & | 1 2 3 4"), 4, 1)
    assert [note.onset for note in phrase.sounded] == [7, 11, Fraction(23, 2), 12, 13, 14, 15]
    assert phrase.meter == Meter(4, 4, 4)
