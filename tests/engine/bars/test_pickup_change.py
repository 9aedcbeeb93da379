"""A bar is given a pick-up, a longer or shorter one, or none."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar
from rhythms.engine.bars.pickup_change import with_pickup
from rhythms.engine.errors import MeterError
from tests.strategies import bars, bars_with_pickup

any_bar = bars() | bars_with_pickup()


def of_its_meter(bar: Bar, data: st.DataObject, least: int = 0) -> int:
    """Counts that its pick-up can have."""
    return data.draw(st.integers(least, bar.meter.count - 1))


@given(any_bar, st.data())
def test_whatever_pickup_it_is_given_it_has_and_reads_back_as_it_is_printed(bar, data):
    counts = of_its_meter(bar, data)
    changed = with_pickup(bar, counts)
    assert changed.meter.pickup == counts
    assert Bar.from_counts(changed.counts(), bar.meter.one_bar) == changed


@given(any_bar, st.data())
def test_a_longer_pickup_is_taken_back_without_a_trace(bar, data):
    longer = of_its_meter(bar, data, least=bar.meter.pickup)
    assert with_pickup(with_pickup(bar, longer), bar.meter.pickup) == bar


@given(any_bar, st.data())
def test_behind_the_bar_line_all_stays_but_what_was_held_over_it(bar, data):
    changed = with_pickup(bar, of_its_meter(bar, data))

    def behind(one: Bar) -> list[tuple]:
        line = one.meter.bar_line
        return [(e.onset - line, e.rest, e.accent) for e in one.events() if e.onset > line]

    assert behind(changed) == behind(bar)


@pytest.mark.parametrize(
    ("typed", "counts", "after"),
    [
        ("1 2 3 4", 1, "4 | 1 2 3 4"),
        ("1 2 3 4", 3, "2 3 4 | 1 2 3 4"),
        ("4 & | 1 2 3 4", 2, "3 4 & | 1 2 3 4"),
        ("(3) 4 & | 1 2 3 4", 1, "4 & | 1 2 3 4"),
        ("3> - | 1 2 3 4", 1, "4> | 1 2 3 4"),
        ("(4) & | - 2 3 4", 0, "1 2 3 4"),
        ("(4) | (1) 2 3 4", 0, "(1) 2 3 4"),
        ("1 2 3 4 | 1 - - -", 1, "4 | 1 2 3 4 | 1 - - -"),
    ],
)
def test_counts_that_come_to_it_sound_and_what_was_held_begins_where_it_is_left(
    typed, counts, after
):
    assert with_pickup(Bar.from_counts(typed), counts).counts() == after


@pytest.mark.parametrize(
    ("typed", "counts", "after"),
    [("1 4", 1, "6 | 1 4"), ("1 4", 4, "3 4 5 6 | 1 4"), ("5 & 6 | 1 4", 3, "4 5 & 6 | 1 4")],
)
def test_in_eighth_note_meters_the_eighths_are_counted(typed, counts, after):
    assert with_pickup(Bar.from_counts(typed, "6/8"), counts).counts() == after


@pytest.mark.parametrize(
    ("typed", "counts"), [("1 2 3 4", 4), ("1 2 3 4 | " * 3 + "1 2 3 4", 1), ("1 2 3 4", -1)]
)
def test_a_pickup_as_long_as_a_bar_or_a_bar_too_many_is_refused(typed, counts):
    with pytest.raises(MeterError):
        with_pickup(Bar.from_counts(typed), counts)
