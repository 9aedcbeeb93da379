"""How many different fills there are behind takes, against a published example and plain sums."""

from __future__ import annotations

from itertools import combinations
from math import comb, exp, log

import numpy as np
import pytest

from rhythms.engine.fills.sampled_variety import log_number, sampled_variety


def of_counts(counts):
    """Takes of one fill each, where fills share nothing."""
    kinds = np.eye(len(counts))
    return kinds, np.repeat(kinds, counts, axis=0)


def of_some_takes(takes, kinds=5, seed=1):
    """Fills that are alike in part, several to a take."""
    random = np.random.default_rng(seed)
    alike = random.uniform(0.2, 0.9, (kinds, kinds))
    alike = (alike + alike.T) / 2
    np.fill_diagonal(alike, 1)
    return alike, random.dirichlet(np.full(kinds, 0.5), takes)


# The spiders that Chao and Jost (2015) take as their example (data of Ellison and others 2010):
# counts of each species in two plots, what Shannon's number is as seen, and as they estimate it.
# From memory of the publication.
GIRDLED = [46, 22, 17, 15, 15, 9, 8, 6, 6, 4, 2, 2, 2, 2, *[1] * 12]
LOGGED = [88, 22, 16, 15, 13, 10, 8, 8, 7, 7, 7, 5, 4, 4, 4, 3, 3, 3, 3, 2, 2, 2, 2, *[1] * 14]


@pytest.mark.parametrize(
    ("counts", "seen", "estimated"), [(GIRDLED, 12.06, 13.83), (LOGGED, 14.42, 16.34)]
)
def test_species_that_share_nothing_are_estimated_as_published(counts, seen, estimated):
    shares = np.array(counts) / sum(counts)
    assert exp(-(shares * np.log(shares)).sum()) == pytest.approx(seen, abs=0.005)
    assert exp(log_number(*of_counts(counts))) == pytest.approx(estimated, abs=0.005)


@pytest.mark.parametrize("counts", [[3, 2, 1, 1], [4, 1], [1, 1, 1, 1], [5, 3, 2, 2], [6]])
def test_without_likeness_it_is_the_estimator_of_chao_wang_and_jost(counts):
    """As they write it: with counts of species, and of those that came once and twice."""
    n, once, twice = sum(counts), counts.count(1), counts.count(2)
    known = sum(count / n * sum(1 / k for k in range(count, n)) for count in counts)
    if twice:
        a = 2 * twice / ((n - 1) * once + 2 * twice)
    else:
        a = 2 / ((n - 1) * (once - 1) + 2) if once else 1
    unseen = 0.0
    if a < 1:
        series = sum((1 - a) ** k / k for k in range(1, n))
        unseen = once / n * (1 - a) ** (1 - n) * (-log(a) - series)
    assert log_number(*of_counts(counts)) == pytest.approx(known + unseen)


@pytest.mark.parametrize("takes", [3, 4, 7, 9])
def test_it_is_the_mean_over_all_choices_of_other_takes(takes):
    """Each power as a mean over choices of so many other takes; the rest falls on as they do."""
    alike, shares = of_some_takes(takes)
    ordinary = alike @ shares.T
    powers = []
    for k in range(1, takes):
        found = 0.0
        for take, kind in np.ndindex(*shares.shape):
            others = [1 - ordinary[kind, other] for other in range(takes) if other != take]
            mean = sum(np.prod(some) for some in combinations(others, k)) / comb(takes - 1, k)
            found += shares[take, kind] * mean / takes
        powers.append(found)
    stays = powers[-1] / powers[-2]
    powers += [powers[-1] * stays**more for more in range(1, 500)]
    assert log_number(alike, shares) == pytest.approx(sum(x / k for k, x in enumerate(powers, 1)))


@pytest.mark.parametrize("takes", [4, 9, 40])
def test_without_each_take_it_is_what_the_other_takes_say(takes):
    alike, shares = of_some_takes(takes)
    others = [log_number(alike, np.delete(shares, take, axis=0)) for take in range(takes)]
    assert sampled_variety(alike, shares).without == pytest.approx(others)


def test_without_each_take_of_fills_that_share_nothing_too():
    kinds, shares = of_counts([7, 4, 2, 2, 1, 1, 1])
    others = [log_number(kinds, np.delete(shares, take, axis=0)) for take in range(len(shares))]
    assert sampled_variety(kinds, shares).without == pytest.approx(others)


def test_of_very_many_takes_it_is_the_number_that_is_there():
    """Takes in the very shares, so that nothing is left to chance: the Shannon number."""
    counts = [200, 100, 60, 40]
    shares = np.array(counts) / 400
    known = -(shares * np.log(shares)).sum()
    assert log_number(*of_counts(counts)) == pytest.approx(known, abs=0.005)


def test_fewer_than_three_takes_say_nothing():
    with pytest.raises(ValueError, match="three takes"):
        sampled_variety(np.eye(2), np.eye(2))
