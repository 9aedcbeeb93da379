"""A drum that is left out already in practice: fills with it are passed over for others."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from math import comb
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.surfaces import Surface, base

#: A hint is wrong for at most so many of those who leave nothing out.
WRONG = 0.05
#: With fewer fills passed over nothing is said, whatever the odds.
FEWEST_PASSED = 3


class Offered(NamedTuple):
    """A fill that was given, in order within its assignment, and whether it was practised."""

    assignment: int
    fill: Fill
    practised: bool


class PassedOver(NamedTuple):
    """``passed`` of the ``given`` fills with the surface were not practised, though later ones of
    the same assignment were; by luck alone no more would be practised with a probability of ``p``.
    """

    surface: Surface
    given: int
    passed: int
    p: float


def passed_over(offered: Iterable[Offered], surfaces: Sequence[Surface]) -> PassedOver | None:
    """The surface whose fills are most clearly passed over; None where none is.

    Who begins an assignment and does not come to its end leaves nothing out, so fills count that
    stand before the last one practised. Within each assignment any of these may have been
    practised: the exact conditional test over strata (Mehta, Patel and Gray 1985, after Cochran
    and after Mantel and Haenszel), with Bonferroni's correction for the surfaces tried.
    """
    strata = list(_strata(offered))
    tried = [found for surface in surfaces if (found := _tested(strata, surface))]
    clear = [one for one in tried if one.p * len(tried) <= WRONG and one.passed >= FEWEST_PASSED]
    return min(clear, key=lambda one: one.p, default=None)


_Stratum = list[tuple[frozenset[Surface], bool]]


def _strata(offered: Iterable[Offered]) -> Iterator[_Stratum]:
    """Of each assignment what stands before the last fill practised: what it strikes, and whether
    it was practised."""
    for _, group in groupby(offered, key=lambda one: one.assignment):
        fills = list(group)
        practised = [place for place, one in enumerate(fills) if one.practised]
        before = fills[: practised[-1]] if practised else []
        yield [(_struck(one.fill), one.practised) for one in before]


def _struck(fill: Fill) -> frozenset[Surface]:
    return frozenset(base(one) for stroke in fill.strokes for one in stroke.surfaces)


def _tested(strata: Iterable[_Stratum], surface: Surface) -> PassedOver | None:
    """None where no assignment has both fills with it and without, practised and not."""
    chances: NDArray[np.float64] = np.ones(1)
    given = kept = 0
    for stratum in strata:
        with_it = [practised for struck, practised in stratum if surface in struck]
        practised = sum(one for _, one in stratum)
        if not 0 < len(with_it) < len(stratum) or not 0 < practised < len(stratum):
            continue
        given, kept = given + len(with_it), kept + sum(with_it)
        chances = np.convolve(chances, _hypergeometric(len(stratum), len(with_it), practised))
    if not given:
        return None
    return PassedOver(surface, given, given - kept, float(chances[: kept + 1].sum()))


def _hypergeometric(fills: int, with_it: int, practised: int) -> NDArray[np.float64]:
    """The probability of each number of fills with it among those practised, from 0 on."""
    ways = [
        comb(with_it, number) * comb(fills - with_it, practised - number)
        if number <= practised
        else 0
        for number in range(with_it + 1)
    ]
    return np.array(ways, dtype=float) / comb(fills, practised)
