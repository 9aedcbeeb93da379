"""How likely it is that a player's trait is as it is by luck: small samples, no normal tails.

Takes are the units: fills of one take were played in one breath. A trait that a fill has or has
not is counted, an amount is averaged.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import asin, ceil, erfc, exp, floor, lgamma, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
#: A share of which nothing is known yet is taken for this many of twice as many (Jeffreys).
_HALF = 0.5
#: Nobody is taken to vary less from take to take than this part of the variance of others: few
#: takes that happen to be alike would make it sure.
_LEAST_VARIANCE = 0.6
_ROUNDING = 1e-9


class TraitStats(NamedTuple):
    """A trait of one person: over so many takes (or rhythms), its mean, its variance."""

    units: int
    mean: float
    variance: float

    @classmethod
    def of(cls, values: Floats) -> TraitStats:
        """Of a value a unit; at least one."""
        variance = float(values.var(ddof=1)) if len(values) > 1 else 0.0
        return cls(len(values), float(values.mean()), variance)


class OtherPeople(NamedTuple):
    """A trait of several people: the mean of their means, each counting alike.

    ``spread`` is the standard deviation of one take of one of them; ``error`` that of the mean.
    """

    mean: float
    spread: float
    error: float
    means: tuple[float, ...]

    @classmethod
    def of(cls, people: Sequence[TraitStats], *, counted: bool) -> OtherPeople:
        """Of one person or more; ``counted`` for a trait that a fill has or has not."""
        means = [_share(one) if counted else one.mean for one in people]
        variances = [
            mean * (1 - mean) if counted else one.variance
            for one, mean in zip(people, means, strict=True)
        ]
        errors = sum(v / max(1, one.units) for v, one in zip(variances, people, strict=True))
        spread = sqrt(sum(variances) / len(people))
        return cls(sum(means) / len(means), spread, sqrt(errors) / len(people), tuple(means))


def _share(one: TraitStats) -> float:
    return (one.mean * one.units + _HALF) / (one.units + 2 * _HALF)


def effect(mean: float, other: float, spread: float, *, counted: bool) -> float:
    """How far apart two means are: Cohen's h of two shares, Cohen's d of two amounts.

    Cohen (1988), "Statistical power analysis for the behavioral sciences": 0.2 is small, 0.5
    what an attentive listener notices.
    """
    if counted:
        return 2 * asin(sqrt(mean)) - 2 * asin(sqrt(other))
    return (mean - other) / spread if spread else 0.0


def p_of_count(own: TraitStats, others: OtherPeople) -> float:
    """Of a trait that is counted, against others: two-sided.

    The tail of the beta-binomial distribution: how many of so many takes have it where the
    others' share is known as well as their number allows. Half takes count for luck.
    """
    centre, variance = others.mean, others.error**2
    certain = centre * (1 - centre) / variance - 1 if variance else 1e9
    a, b = centre * max(certain, 1e-6), (1 - centre) * max(certain, 1e-6)
    found = own.mean * own.units
    logs = [_log_beta_binomial(count, own.units, a, b) for count in range(own.units + 1)]
    least, most = floor(found + _ROUNDING), ceil(found - _ROUNDING)
    upper = sum(map(exp, logs[least:]))
    lower = sum(map(exp, logs[: most + 1]))
    return min(1.0, 2 * min(upper, lower))


def _log_beta_binomial(count: int, of: int, a: float, b: float) -> float:
    chosen = lgamma(of + 1) - lgamma(count + 1) - lgamma(of - count + 1)
    return chosen + _log_beta(count + a, of - count + b) - _log_beta(a, b)


def _log_beta(a: float, b: float) -> float:
    return lgamma(a) + lgamma(b) - lgamma(a + b)


def p_of_amount(own: TraitStats, others: OtherPeople) -> float:
    """Of an amount, against others: Welch's t-test (1947), two-sided."""
    variance = max(own.variance, _LEAST_VARIANCE * others.spread**2) / own.units
    error = variance + others.error**2
    if not error:
        return 1.0 if own.mean == others.mean else 0.0
    freedom = error**2 / (variance**2 / max(1, own.units - 1) + 1e-300)
    return p_of_t((own.mean - others.mean) / sqrt(error), freedom)


def p_of_t(t: float, freedom: float) -> float:
    """Two-sided, by Wallace's approximation (1959) of Student's distribution, good to 1 in 50."""
    scale = (8 * freedom + 1) / (8 * freedom + 3)
    z = scale * sqrt(freedom * np.log1p(t * t / freedom))
    return erfc(z / sqrt(2))


def p_of_counts_by_chance(counts: Floats, chances: Floats) -> Floats:
    """Of counted traits, each against chances of its own in each take: one-sided, one a trait.

    Which side it is on is known from others.

    ``counts`` and ``chances`` are takes by traits; the exact tails of the Poisson binomial
    distribution, by adding one take after the other.
    """
    takes, traits = chances.shape
    spread = np.zeros((traits, takes + 1))
    spread[:, 0] = 1.0
    for chance in chances:
        more = spread[:, :-1] * chance[:, None]
        spread *= (1 - chance)[:, None]
        spread[:, 1:] += more
    found = counts.sum(axis=0)
    numbers = np.arange(takes + 1)
    upper = np.where(numbers >= np.floor(found + _ROUNDING)[:, None], spread, 0.0).sum(axis=1)
    lower = np.where(numbers <= np.ceil(found - _ROUNDING)[:, None], spread, 0.0).sum(axis=1)
    return np.asarray(np.minimum(1.0, np.minimum(upper, lower)))


def p_of_amount_by_chance(own: Floats, chances: Floats, spread: float) -> float:
    """Of an amount in each take against what chance would make it there: a t-test of the
    differences, one-sided as above."""
    off = TraitStats.of(own - chances)
    variance = max(off.variance, _LEAST_VARIANCE * spread**2) / off.units
    return p_of_t(off.mean / sqrt(variance), max(1, off.units - 1)) / 2 if variance else 1.0


def false_discovery_rates(p_values: Sequence[float]) -> list[float]:
    """For each p-value the least rate of false discoveries at which it counts as one.

    Benjamini and Hochberg (1995), "Controlling the false discovery rate".
    """
    in_order = np.argsort(p_values, kind="stable")
    ranked = np.asarray(p_values, dtype=float)[in_order] * len(p_values)
    rates = np.minimum.accumulate((ranked / np.arange(1, len(p_values) + 1))[::-1])[::-1]
    found = np.empty(len(p_values))
    found[in_order] = np.minimum(1.0, rates)
    return [float(rate) for rate in found]


def interval(own: TraitStats, *, counted: bool) -> tuple[float, float]:
    """Where the mean lies with 95 %: Wilson's interval (1927) of a share, else by the t-test."""
    z, n = 1.96, own.units
    if not counted:
        wide = z * sqrt(own.variance / n) * (1 + 1.5 / max(1, n - 1))
        return own.mean - wide, own.mean + wide
    centre = (own.mean + z * z / (2 * n)) / (1 + z * z / n)
    wide = z / (1 + z * z / n) * sqrt(own.mean * (1 - own.mean) / n + z * z / (4 * n * n))
    return max(0.0, centre - wide), min(1.0, centre + wide)
