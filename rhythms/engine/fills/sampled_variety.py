"""How many different fills there are behind those that some takes show.

Few takes never show all that a player has, so the effective number of what they show is too low.
For kinds that share nothing Chao, Wang and Jost (2013, "Entropy and the species accumulation
curve", Methods in Ecology and Evolution 4) estimate Shannon's entropy without that bias, from

    -log p = (1 - p) + (1 - p)^2 / 2 + (1 - p)^3 / 3 + ...

where each power up to the number of other takes has an unbiased estimate, and the rest is
extrapolated (Chao and Jost 2015, "Estimating diversity and entropy profiles via discovery rates
of new species", 6). The same is done here with likeness, for the diversity of Leinster and
Cobbold (2012): in place of p stands how ordinary a fill is, its mean likeness to a take. What it
lacks of likeness to each of m *other* takes is drawn from chances whose mean is 1 - ordinariness,
so products over k of them, on average over all choices, estimate its k-th power. Their sum is

    sum of e_k(1 - z) / (k C(m, k)) = integral over t in (0, 1) of (prod(1 - t z) - (1 - t)^m) / t,

since 1 / (k C(m, k)) is the integral of t^(k-1) (1-t)^(m-k): a polynomial, which quadrature sums
without the cancellation of symmetric polynomials, and takes a factor out of for each take that is
left out. Where kinds share nothing all of it is the estimator of Chao, Wang and Jost.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

#: With so many nodes Gauss and Legendre's rule is exact up to 128 takes, and as good as that
#: beyond: one of the likeness products falls no steeper than (1 - t)^takes.
_MOST_NODES = 64
#: Nearer to 0 than this the product over all takes says nothing of how it goes on.
_NOTHING = 1e-12
#: What a fill lacks of likeness is never less, so that it can be divided by.
_LEAST_LACK = 1e-8
#: Below this there are no fills that came in just two takes.
_NO_PAIRS = 1e-6
#: Where powers have fallen to this the rest is summed term by term, else in closed form.
_SMALL, _DIGITS = 1e-3, 35.0

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class SampledVariety:
    """The logarithm of the effective number, and what it would be ``without`` each of the takes."""

    log_number: float
    without: Floats


def sampled_variety(alike: Floats, shares: Floats) -> SampledVariety:
    """The effective number (order 1, with likeness) behind takes that were drawn from it.

    ``alike`` is the likeness of each kind to each, 1 on the diagonal; ``shares`` how much of each
    take each kind has, takes by kinds, rows that sum to 1. Takes count alike. Raises ValueError
    for fewer than three takes, which say nothing once one is left out.
    """
    takes = len(shares)
    ordinary, of_takes = _ordinary(alike, shares), _by_kind(shares)
    found = _log_number(ordinary, of_takes)
    last, before = _seen_without_each(ordinary, of_takes).tolist()
    unseen = [_unseen(*pair, takes - 1) for pair in zip(last, before, strict=True)]
    return SampledVariety(found, _series_without_each(ordinary, of_takes) + np.array(unseen))


def log_number(alike: Floats, shares: Floats) -> float:
    """The logarithm of the effective number alone; raises as ``sampled_variety`` does."""
    return _log_number(_ordinary(alike, shares), _by_kind(shares))


def _by_kind(shares: Floats) -> Floats:
    """The shares of each kind in a row of memory, as how ordinary it is stands: half the time."""
    return np.ascontiguousarray(shares.T)


def _ordinary(alike: Floats, shares: Floats) -> Floats:
    """The mean likeness of each kind to each take: kinds by takes."""
    if len(shares) < 3:
        raise ValueError("Fewer than three takes say nothing.")
    return np.minimum(alike @ shares.T, 1.0)


def _log_number(ordinary: Floats, of_takes: Floats) -> float:
    last, before = _seen(ordinary, of_takes)
    return _series(ordinary, of_takes) + _unseen(last, before, ordinary.shape[1])


def _series(ordinary: Floats, of_takes: Floats) -> float:
    """The powers up to the number of other takes: kinds by takes, how ordinary, and shares."""
    takes = ordinary.shape[1]
    found = float((1 / np.arange(1, takes)).sum())
    there = np.nonzero(of_takes)
    shares = of_takes[there]
    for at, weight, factor, logarithms in _factors(ordinary, takes - 1):
        # A take is not held against itself: its own factor is taken out again.
        product = np.exp(logarithms.sum(axis=1))[there[0]] / factor[there]
        found -= weight / at * (1 - float(shares @ product) / takes)
    return found


def _series_without_each(ordinary: Floats, of_takes: Floats) -> Floats:
    """The same where each of the takes is left out."""
    takes = ordinary.shape[1]
    found = np.full(takes, float((1 / np.arange(1, takes - 1)).sum()))
    for at, weight, factor, logarithms in _factors(ordinary, takes - 1):
        played = of_takes * np.exp(logarithms.sum(axis=1, keepdims=True)) / factor
        others = ((played.sum(axis=1, keepdims=True) - played) / factor).sum(axis=0)
        found -= weight / at * (1 - others / (takes - 1))
    return found


def _factors(ordinary: Floats, degree: int) -> Iterator[tuple[float, float, Floats, Floats]]:
    """Each node with its weight, 1 - node * ordinary, and the logarithms of that.

    Both arrays hold until the next node: memory of their own for each would take as long again.
    """
    factor, logarithms = np.empty_like(ordinary), np.empty_like(ordinary)
    for at, weight in _nodes(degree):
        np.subtract(1, np.multiply(ordinary, at, out=factor), out=factor)
        yield at, weight, factor, np.log(factor, out=logarithms)


@lru_cache(maxsize=256)
def _nodes(degree: int) -> list[tuple[float, float]]:
    """Nodes and weights on (0, 1) that sum polynomials of a degree less 1."""
    nodes, weights = np.polynomial.legendre.leggauss(min(degree // 2 + 1, _MOST_NODES))
    return list(zip(((nodes + 1) / 2).tolist(), (weights / 2).tolist(), strict=True))


def _lacking(ordinary: Floats) -> tuple[Floats, Floats]:
    """1 by what each kind lacks to each take, and the products over all takes but each."""
    lack = np.maximum(1 - ordinary, _LEAST_LACK)
    inverse = 1 / lack
    return inverse, np.exp(np.log(lack).sum(axis=1, keepdims=True)) * inverse


def _seen(ordinary: Floats, of_takes: Floats) -> tuple[float, float]:
    """The mean product over all other takes, and over all but one of them."""
    takes = ordinary.shape[1]
    inverse, product = _lacking(ordinary)
    last = of_takes * product
    before = last * (inverse.sum(axis=1, keepdims=True) - inverse)
    return float(last.sum()) / takes, float(before.sum()) / takes / (takes - 1)


def _seen_without_each(ordinary: Floats, of_takes: Floats) -> Floats:
    """The same where each of the takes is left out: 2 by takes."""
    takes = ordinary.shape[1]
    inverse, product = _lacking(ordinary)
    last = of_takes * product
    before = last * (inverse.sum(axis=1, keepdims=True) - inverse)
    # Each of the other takes loses the factor of the one that is left out.
    rest = (last.sum(axis=1, keepdims=True) - last) * inverse
    rest_before = (before.sum(axis=1, keepdims=True) - before - rest) * inverse
    sums = rest.sum(axis=0), rest_before.sum(axis=0) / (takes - 2)
    return np.asarray(np.stack(sums) / (takes - 1))


def _unseen(last: float, before: float, takes: int) -> float:
    """All powers from ``takes`` on, which go on falling as the last two known do.

    The extrapolation of Chao and Jost: the ``last`` power is their f1 / n, kinds that came once,
    and what it falls by tells their f2, kinds that came twice.
    """
    others = takes - 1
    if last < _NOTHING:
        return 0.0
    once, twice = takes * last, (before - last) * takes * others / 2
    if twice > _NO_PAIRS:
        falls = 1 - last / before
    elif once > 1:
        falls = 2 / (others * (once - 1) + 2)
    else:
        return 0.0
    # As where each take were of a kind of its own: it falls no slower.
    stays = 1 - max(falls, 2 / (others**2 + 2))
    if stays <= 0:
        return 0.0
    if stays**others > _SMALL:
        powers = np.arange(1, takes)
        known = float((stays**powers / powers).sum())
        return float(last * stays**-others * (-np.log1p(-stays) - known))
    powers = np.arange(1, int(_DIGITS / -np.log(stays)) + 2)
    return float(last * (stays**powers / (others + powers)).sum())
