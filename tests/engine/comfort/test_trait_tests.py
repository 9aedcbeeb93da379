"""The statistics of traits against tables, worked examples and plain counting."""

from __future__ import annotations

from itertools import product
from math import comb, prod

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine.comfort.trait_tests import (
    OtherPeople,
    TraitStats,
    effect,
    false_discovery_rates,
    interval,
    p_of_amount,
    p_of_amount_by_chance,
    p_of_count,
    p_of_counts_by_chance,
    p_of_t,
)

#: The 15 p-values of the example of Benjamini and Hochberg (1995), section 3.2; from memory.
WORKED_EXAMPLE = (0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459)
WORKED_EXAMPLE += (0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.0)


def of_share(count: int, of: int) -> TraitStats:
    return TraitStats.of(np.array([1.0] * count + [0.0] * (of - count)))


def test_four_hypotheses_of_the_worked_example_are_rejected():
    """As the paper has it: at 0.05 four, where Bonferroni's rule rejects three."""
    rates = false_discovery_rates(WORKED_EXAMPLE)
    assert sum(rate <= 0.05 for rate in rates) == 4
    assert rates[3] == pytest.approx(0.0095 * 15 / 4)


@given(st.lists(st.floats(0, 1), min_size=1, max_size=30))
def test_rates_rise_with_p_values_and_are_none_below_them(p_values):
    rates = false_discovery_rates(p_values)
    assert all(rate >= p * (1 - 1e-12) for rate, p in zip(rates, p_values, strict=True))
    in_order = [rate for _, rate in sorted(zip(p_values, rates, strict=True))]
    assert in_order == sorted(in_order)


@pytest.mark.parametrize(("freedom", "t"), [(5, 2.571), (10, 2.228), (30, 2.042), (120, 1.980)])
def test_t_at_one_in_twenty_is_as_the_table_has_it(freedom, t):
    """Two-sided 0.05 points of Student's distribution, from a handbook's table."""
    assert p_of_t(t, freedom) == pytest.approx(0.05, abs=0.001)


@pytest.mark.parametrize(
    ("count", "of", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_intervals_of_shares_are_the_published_ones(count, of, low, high):
    """Newcombe (1998), "Two-sided confidence intervals for the single proportion", table I, the
    score method without correction; from memory."""
    assert interval(of_share(count, of), counted=True) == pytest.approx((low, high), abs=0.0002)


@pytest.mark.parametrize(("share", "angle"), [(0.04, 0.403), (0.2, 0.927), (0.5, 1.571)])
def test_the_effect_of_shares_is_a_difference_of_tabled_angles(share, angle):
    """Cohen (1988), table 6.2.2: the arcsine transformation."""
    assert effect(share, 0.0, 0.0, counted=True) == pytest.approx(angle, abs=0.001)


@given(st.integers(1, 30), st.data(), st.floats(0.02, 0.98))
def test_against_a_share_that_is_certain_it_is_the_binomial_tail(units, data, share):
    count = data.draw(st.integers(0, units))
    chances = [comb(units, k) * share**k * (1 - share) ** (units - k) for k in range(units + 1)]
    tail = min(sum(chances[count:]), sum(chances[: count + 1]))
    certain = OtherPeople(share, 0.5, 0.0, (share,))
    assert p_of_count(of_share(count, units), certain) == pytest.approx(
        min(1, 2 * tail), rel=1e-4, abs=1e-9
    )


def test_a_share_of_few_others_is_less_surely_another_one():
    own = of_share(8, 10)
    p_values = [
        p_of_count(own, OtherPeople.of([of_share(number // 5, number)], counted=True))
        for number in (10, 40, 400)
    ]
    assert p_values == sorted(p_values, reverse=True)


def test_people_count_alike_however_much_they_played():
    both = OtherPeople.of([of_share(0, 400), of_share(20, 40)], counted=True)
    assert both.mean == pytest.approx(0.25, abs=0.01)


@given(st.lists(st.floats(0.01, 0.99), min_size=1, max_size=9), st.data())
def test_against_chances_of_each_take_it_is_the_tail_of_all_that_may_happen(chances, data):
    happened = data.draw(
        st.lists(st.sampled_from((0.0, 1.0)), min_size=len(chances), max_size=len(chances))
    )
    count = sum(happened)
    upper = lower = 0.0
    for ways in product((0, 1), repeat=len(chances)):
        chance = prod(p if way else 1 - p for way, p in zip(ways, chances, strict=True))
        upper += chance * (sum(ways) >= count)
        lower += chance * (sum(ways) <= count)
    p = p_of_counts_by_chance(np.array([happened]).T, np.array([chances]).T)
    assert p[0] == pytest.approx(min(upper, lower), abs=1e-9)


def test_takes_that_happen_to_be_alike_are_no_proof():
    """Five of one value each, a little above what others do, who vary by more than that."""
    others = OtherPeople.of([TraitStats(300, 3.0, 1.0)], counted=False)
    alike = TraitStats(8, 3.3, 0.0)
    assert p_of_amount(alike, others) > 0.05
    assert p_of_amount(TraitStats(300, 3.3, 1.0), others) < 0.05


def test_what_chance_makes_of_each_take_is_no_difference():
    chances = np.linspace(0, 1, 20)
    assert p_of_amount_by_chance(chances + 0.01, chances, 0.2) > 0.05
    assert p_of_amount_by_chance(chances + 0.5, chances, 0.2) < 0.001
