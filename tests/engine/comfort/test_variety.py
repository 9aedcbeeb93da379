"""The effective number of a student's fills, against students whose habits are known."""

from __future__ import annotations

from itertools import chain, repeat
from random import Random

import numpy as np
import pytest

from rhythms.engine import FillSpace, RuleSet
from rhythms.engine.comfort.expectation import Given, room
from rhythms.engine.comfort.playing import FEWEST, MOST_KINDS, MOST_PLAYS, Playing, resampled
from rhythms.engine.comfort.variety_estimate import change, variety
from rhythms.engine.fills.likeness import likeness_table
from rhythms.engine.fills.variety import effective_fills, effective_number
from tests.engine.comfort.simulated_habits import (
    KIT,
    SIXTEENTHS,
    anything,
    played,
    space,
    walk_down,
)


def test_too_few_takes_say_nothing():
    fills = space().sample(FEWEST, seed=1)
    assert variety(played(fills[:-1])) is None
    assert variety(played(fills)) is not None


def test_many_fills_of_few_takes_are_few_takes():
    assert variety(played(space().sample(40, seed=1), a_take=10)) is None


def test_one_fill_over_and_over_is_one():
    estimate = variety(played([walk_down()] * 20))
    assert (estimate.value, estimate.low, estimate.high) == pytest.approx((1, 1, 1))


def test_two_fills_by_turns_are_what_the_formula_makes_of_them():
    """Every draw of so many takes holds nearly half of each, so little is corrected."""
    pair = space().sample(2, seed=4)
    estimate = variety(played(pair * 100, a_take=2))
    assert estimate.value == pytest.approx(effective_fills(pair))


def test_time_weighs_and_not_the_number_of_plays():
    pair = space().sample(2, seed=4)
    playing = played(pair * 50, a_take=2, seconds=lambda number: 3.0 if number % 2 else 1.0)
    assert variety(playing).value == pytest.approx(effective_fills(pair, [1, 3]))


def test_hands_alone_make_no_other_fill():
    fill = walk_down()
    with_hands = fill.from_json(
        {**fill.to_json(), "strokes": [[s[0], "R", s[2], s[3]] for s in fill.to_json()["strokes"]]}
    )
    assert variety(played([fill, with_hands] * 10)).value == pytest.approx(1)


@pytest.mark.parametrize("takes", [FEWEST, 12, 30])
@pytest.mark.parametrize("evenness", [0.1, 0.5, 2.0], ids=["few favourites", "some", "even"])
def test_the_interval_holds_the_truth_for_students_whose_habits_are_known(takes, evenness):
    """Students draw from 30 fills with chances known to the test, so the truth is computed.

    95 % is what large samples tend to; on 8 takes at least two in three are asked for.
    """
    fills = space(SIXTEENTHS).sample(30, seed=5)
    table, random, held = likeness_table(fills), np.random.default_rng(6), 0
    students = 40
    for _ in range(students):
        chances = random.dirichlet(np.full(30, evenness))
        truth = effective_number(chances.tolist(), table)
        estimate = variety(played([fills[at] for at in random.choice(30, takes, p=chances)]))
        held += estimate.low - 1e-9 <= truth <= estimate.high + 1e-9
    assert held / students >= (0.65 if takes < 12 else 0.75)


def test_the_estimate_is_nearer_to_the_truth_than_the_number_found():
    """The number found in few takes is too low; the truth is known as above."""
    fills = space(SIXTEENTHS).sample(30, seed=5)
    table, random = likeness_table(fills), np.random.default_rng(7)
    found, corrected = [], []
    for _ in range(40):
        chances = random.dirichlet(np.full(30, 0.5))
        truth = effective_number(chances.tolist(), table)
        drawn = [fills[at] for at in random.choice(30, 10, p=chances)]
        found.append(effective_fills(drawn) / truth)
        corrected.append(variety(played(drawn)).value / truth)
    assert np.mean(found) < 0.92
    assert abs(np.mean(corrected) - 1) < abs(np.mean(found) - 1) / 2


def test_whoever_plays_at_random_what_is_given_has_the_variety_there_is_room_for():
    given = space()
    playing = played(given.sample(120, seed=8), asked=given)
    assert room(Given.of([given], playing, KIT), playing) == pytest.approx(
        variety(playing).value, rel=0.1
    )


def test_a_space_of_one_fill_has_room_for_one():
    only = space(rules=space().rule_set.from_json([{"rule": "placement", "surfaces": ["snare"]}]))
    playing = played([only.fill(0)] * 10, asked=only)
    assert room(Given.of([only], playing, KIT), playing) == pytest.approx(1)


def test_free_playing_is_shared_among_all_that_was_given():
    asked, other = space(), space(SIXTEENTHS)
    free, assigned = (played([walk_down()] * 2, asked=one) for one in (None, asked))
    both = Playing.of([*free.plays, *assigned.plays])
    assert Given.of([asked, other], both, KIT).shares(both) == {asked: 0.75, other: 0.25}


def test_the_same_strokes_over_other_feet_are_no_more_room():
    plain = space()
    samba = {"rule": "feet keep going", "pattern": "samba"}
    over = space(rules=RuleSet.from_json([*plain.rule_set.to_json(), samba]))

    def room_of(*spaces: FillSpace) -> float:
        drawn = [played(one.sample(6, seed=8), asked=one).plays for one in spaces]
        playing = Playing.of(chain.from_iterable(drawn))
        return room(Given.of(spaces, playing, KIT), playing)

    assert room_of(plain, over) == room_of(over, plain) == pytest.approx(room_of(plain))


def test_the_same_takes_once_more_are_no_certain_change():
    random = Random(12)
    playing = played([anything(random) for _ in range(20)])
    grown = change(playing, playing)
    assert grown.low < 0.95
    assert grown.high > 1.05


def test_a_student_who_widens_is_seen_to():
    random = Random(9)
    before = played([walk_down()] * 20)
    grown = change(before, played([anything(random) for _ in range(20)]))
    assert grown.low > 1.5


def test_a_student_who_stays_the_same_is_not_seen_to_change():
    random = Random(10)
    before, after = ([anything(random) for _ in range(20)] for _ in range(2))
    grown = change(played(before), played(after))
    assert grown.low < 1 < grown.high


def test_a_change_needs_enough_takes_on_both_sides():
    fills = [walk_down()] * 20
    assert change(played(fills[:2]), played(fills)) is None
    assert change(played(fills), played(fills[:2])) is None


def test_takes_are_drawn_whole():
    drawn = resampled(9, 50, seed=1)
    assert drawn.shape == (50, 9)
    assert set(drawn.sum(axis=1)) == {9}


def test_of_very_many_different_fills_the_latest_count():
    random = Random(11)
    fills = [anything(random) for _ in range(MOST_KINDS + 30)]
    kinds = played(fills).kinds
    assert len(kinds) == MOST_KINDS
    assert kinds[-1] == fills[-1]


def test_plays_behind_those_that_count_are_not_asked_for():
    random = Random(11)
    plays = reversed(played([anything(random) for _ in range(MOST_KINDS)]).plays)
    endless = chain(plays, repeat(played([walk_down()]).plays[0]))
    assert len(Playing.latest(endless).plays) == MOST_KINDS
    assert next(endless, None) is not None


def test_of_very_many_plays_of_one_fill_the_latest_count():
    day = played([walk_down()]).plays[0]
    assert len(Playing.latest(repeat(day)).plays) == MOST_PLAYS
