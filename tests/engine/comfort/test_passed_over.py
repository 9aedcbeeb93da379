"""A drum that is passed over in practice: said where it is so, and nowhere else."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from math import comb
from random import Random

import pytest

from rhythms.engine import Kit, Surface
from rhythms.engine.comfort.passed_over import Offered, passed_over
from tests.engine.comfort.simulated_habits import KIT, on

SNARE, RIDE, FLOOR = Surface.SNARE, Surface.RIDE, Surface.FLOOR_TOM
PLAIN, WITH_RIDE = on([SNARE] * 16), on([SNARE] * 15 + [RIDE])
OTHERS = tuple(one for one in KIT.hand_surfaces if one is not SNARE)


def assignments(n: int, *fills: tuple) -> Iterator[Offered]:
    """So many assignments of these fills, each practised or not."""
    for number in range(n):
        for fill, practised in fills:
            yield Offered(number, fill, practised)


def test_fills_with_a_drum_that_are_passed_over_again_and_again_are_a_hint():
    found = passed_over(
        assignments(6, (WITH_RIDE, False), (PLAIN, True), (PLAIN, True), (PLAIN, True)), OTHERS
    )
    assert (found.surface, found.given, found.passed) == (RIDE, 6, 6)


def test_the_probability_is_that_of_plain_counting():
    """Two of three practised before the last, twice: that neither has the ride, one in nine."""
    of_two = [*assignments(2, (WITH_RIDE, False), (PLAIN, True), (PLAIN, True), (PLAIN, True))]
    of_six = [*assignments(6, (WITH_RIDE, False), (PLAIN, True), (PLAIN, True), (PLAIN, True))]
    ways = [chosen for chosen in combinations(range(3), 2) if 0 not in chosen]
    assert passed_over(of_two, [RIDE]) is None
    assert passed_over(of_six, [RIDE]).p == pytest.approx((len(ways) / comb(3, 2)) ** 6)


def test_what_stands_at_the_end_was_not_come_to_yet():
    """Who practises the first two of each assignment passes nothing over."""
    unfinished = assignments(12, (PLAIN, True), (PLAIN, True), (WITH_RIDE, False))
    assert passed_over(unfinished, OTHERS) is None


def test_an_assignment_that_was_not_begun_says_nothing():
    begun = [*assignments(6, (PLAIN, True), (PLAIN, True))]
    waiting = [one._replace(assignment=99) for one in assignments(6, (WITH_RIDE, False))]
    assert passed_over([*begun, *waiting], OTHERS) is None


def test_twice_is_too_few_to_say():
    few = assignments(2, (WITH_RIDE, False), *[(PLAIN, True)] * 30)
    assert passed_over(few, [RIDE]) is None


def simulated(seed: int, avoids: Surface | None) -> bool:
    """Twelve assignments of eight fills on the kit; most are practised, in any order."""
    random, offered = Random(seed), []
    for number in range(12):
        for _ in range(8):
            colours = random.sample(OTHERS, 2)
            fill = on([SNARE] * 14 + colours)
            likely = 0.15 if avoids in colours else 0.75
            offered.append(Offered(number, fill, random.random() < likely))
    found = passed_over(offered, OTHERS)
    return found is not None and (avoids is None or found.surface == avoids)


def test_of_students_who_leave_nothing_out_hardly_any_gets_a_hint():
    assert sum(simulated(seed, None) for seed in range(100)) <= 5


def test_of_students_who_leave_a_drum_out_most_get_the_hint():
    assert sum(simulated(seed, FLOOR) for seed in range(40)) >= 32


def test_a_drum_that_nobody_has_is_not_left_out():
    pad = Kit.of(["snare"])
    fills = assignments(6, (WITH_RIDE, False), (PLAIN, True), (PLAIN, True))
    assert passed_over(fills, [one for one in pad.hand_surfaces if one is not SNARE]) is None
