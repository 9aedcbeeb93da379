"""The effective number of different fills, with what it may be off by."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, inf, sqrt
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.comfort.playing import Playing
from rhythms.engine.fills.sampled_variety import log_number, sampled_variety

#: How much intervals hold.
HELD = 0.95
#: How alike two fills of drummers are on the whole: fills that the prior draws are 0.39 to 0.43.
STRANGERS = 0.4

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Estimate:
    """``value`` lies with 95 % between ``low`` and ``high``; it rests on so many ``takes``."""

    value: float
    low: float
    high: float
    takes: int


def variety(playing: Playing) -> Estimate | None:
    """The effective number of different fills (order 1, with likeness); None for too few takes.

    The fills of a take count by time, takes count alike: how long somebody went on is no habit.
    What the takes do not show is estimated (`sampled_variety`), and the interval is Student's,
    on logarithms. None where there are too few takes.
    """
    found = _Found.of(playing)
    if found is None:
        return None
    value, low, high = _interval(found.log_number, found.variance, found.takes - 1)
    return Estimate(max(1.0, value), max(1.0, low), max(1.0, high), found.takes)


def change(before: Playing, after: Playing) -> Estimate | None:
    """By which factor the variety has grown; None where either rests on too few takes."""
    first, second = _Found.of(before), _Found.of(after)
    if first is None or second is None:
        return None
    variance, takes = first.variance + second.variance, first.takes + second.takes
    # The degrees of freedom of a difference: Welch and Satterthwaite's.
    each = (side.variance**2 / (side.takes - 1) for side in (first, second))
    freedom = variance**2 / sum(each)
    return Estimate(*_interval(second.log_number - first.log_number, variance, freedom), takes)


@dataclass(frozen=True)
class _Found:
    """The logarithm of the number, and how far it may be from the truth."""

    log_number: float
    variance: float
    takes: int

    @classmethod
    def of(cls, playing: Playing) -> _Found | None:
        """The variance is the jackknife's (Tukey 1958), with one take more than there are.

        Who played one fill in each take may still play others in one of ten. So a take of a fill
        like no other is thought to have been added: it widens the interval of eight takes of one
        fill to 1.6, and hardly that of many takes, as two successes and two failures do for a
        share (Agresti and Coull 1998).
        """
        if not playing.is_enough:
            return None
        shares = playing.seconds_by_take / playing.seconds_by_take.sum(axis=1, keepdims=True)
        takes, found = len(shares), sampled_variety(playing.alike, shares)
        with_one_more = log_number(*_with_a_stranger(playing.alike, shares))
        pulls = np.append(
            (takes - 1) * (found.log_number - found.without),
            (takes + 1) * (with_one_more - found.log_number),
        )
        return cls(found.log_number, float((pulls**2).sum() / (takes * (takes - 1))), takes)


def _with_a_stranger(alike: Floats, shares: Floats) -> tuple[Floats, Floats]:
    """The same with one take more, of a kind of its own."""
    more = np.pad(alike, (0, 1), constant_values=STRANGERS)
    more[-1, -1] = 1.0
    taken = np.pad(shares, (0, 1))
    taken[-1, -1] = 1.0
    return more, taken


def _interval(log: float, variance: float, freedom: float) -> tuple[float, float, float]:
    off = student((1 + HELD) / 2, freedom) * sqrt(variance)
    return exp(log), exp(log - off), exp(log + off)


def student(share: float, freedom: float = inf) -> float:
    """The quantile of Student's t distribution, to three decimals from 5 degrees of freedom on.

    Abramowitz and Stegun (1964), "Handbook of Mathematical Functions", 26.7.5.
    """
    x = NormalDist().inv_cdf(share)
    return (
        x
        + (x**3 + x) / 4 / freedom
        + (5 * x**5 + 16 * x**3 + 3 * x) / 96 / freedom**2
        + (3 * x**7 + 19 * x**5 + 17 * x**3 - 15 * x) / 384 / freedom**3
        + (79 * x**9 + 776 * x**7 + 1482 * x**5 - 1920 * x**3 - 945 * x) / 92160 / freedom**4
    )
