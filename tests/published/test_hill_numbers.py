"""Effective numbers without likeness: Hill numbers.

Definitions after Jost (2006), qD = (sum p_i^q)^(1/(1-q)); the values are worked out from them.
"""

from __future__ import annotations

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine.fills.variety import effective_number

VECTORS = [
    ([10, 10, 10, 10], [4, 4.000000, 4.000000, 4]),
    ([40], [1, 1.000000, 1.000000, 1]),
    ([37, 1, 1, 1], [4, 1.417338, 1.166181, 1.081081]),
    ([20, 10, 5, 5], [4, 3.363586, 2.909091, 2]),
    ([50, 30, 20], [3, 2.800094, 2.631579, 2]),
    ([8, 4, 2, 1, 1], [5, 3.668016, 2.976744, 2]),
]
ORDERS = [0, 1, 2, inf]
plays = st.lists(st.floats(0.1, 100), min_size=1, max_size=8)


@pytest.mark.parametrize(("counts", "numbers"), VECTORS)
def test_effective_numbers_are_hill_numbers(counts, numbers):
    found = [effective_number(counts, order=order) for order in ORDERS]
    assert found == pytest.approx(numbers, abs=1e-6)


@given(plays)
def test_a_higher_order_never_counts_more(counts):
    found = [effective_number(counts, order=order) for order in ORDERS]
    assert all(a >= b - 1e-9 for a, b in zip(found, [*found[1:], 1], strict=True))


@given(plays, st.floats(0.1, 10), st.sampled_from(ORDERS))
def test_the_unit_of_the_plays_does_not_matter(counts, unit, order):
    scaled = [count * unit for count in counts]
    assert effective_number(scaled, order=order) == pytest.approx(
        effective_number(counts, order=order)
    )


@given(plays, st.sampled_from(ORDERS))
def test_two_students_with_nothing_in_common_count_double(counts, order):
    """The doubling property of Hill numbers."""
    assert effective_number(counts * 2, order=order) == pytest.approx(
        2 * effective_number(counts, order=order)
    )


@given(plays, st.sampled_from(ORDERS))
def test_fills_never_played_are_ignored(counts, order):
    assert effective_number([*counts, 0, 0], order=order) == pytest.approx(
        effective_number(counts, order=order)
    )
