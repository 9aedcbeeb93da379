"""Charts: every number ends where it belongs."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assignments.days import days_up_to
from assignments.progress.charts import HEIGHT, WIDTH, bars, round_top, steps

DAYS = days_up_to(date(2026, 11, 25), 28)
minutes = st.lists(st.integers(0, 500).map(Decimal), min_size=28, max_size=28)


@given(values=minutes)
def test_bars_are_as_high_as_their_numbers(values):
    chart = bars(DAYS, values)
    for column, value in zip(chart.columns, values, strict=True):
        assert float(column.height) == pytest.approx(float(value / chart.top) * HEIGHT, abs=0.01)


@given(values=minutes)
def test_bars_stand_on_the_ground_and_inside_the_chart(values):
    for column in bars(DAYS, values).columns:
        assert float(column.y) + float(column.height) == pytest.approx(HEIGHT, abs=0.02)
        assert float(column.x) + float(column.width) <= WIDTH + 0.02


def test_bars_do_not_overlap():
    columns = bars(DAYS, [Decimal(5)] * 28).columns
    ends = [float(column.x) + float(column.width) for column in columns]
    assert all(end < float(column.x) for end, column in zip(ends, columns[1:], strict=False))


def test_little_practice_does_not_fill_the_chart():
    chart = bars(DAYS, [Decimal(1)] * 28)
    assert chart.top == 10


def test_four_weeks_are_named_by_their_first_days():
    assert bars(DAYS, [Decimal(0)] * 28).weeks == tuple(DAYS[::7])


def test_a_line_climbs_where_its_number_does():
    chart = steps(DAYS[:2], [1, 3])
    assert chart.top == 4
    assert chart.path == "M0 75V75H140V25H280"


def test_level_days_are_one_run_of_the_line():
    assert steps(DAYS[:4], [1, 1, 1, 3]).path == "M0 75V75H210V25H280"


@pytest.mark.parametrize(
    ("value", "top"), [(1, 1), (3, 3), (7, 8), (10, 10), (11, 15), (61, 80), (420, 500)]
)
def test_a_scale_ends_at_a_round_number(value, top):
    assert round_top(Decimal(value)) == top


@given(value=st.integers(1, 10**6))
def test_a_scale_holds_its_value_and_is_at_least_half_used(value):
    assert value <= round_top(Decimal(value)) <= 2 * value
