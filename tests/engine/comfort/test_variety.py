"""The effective number of a student's fills, against students whose habits are known."""

from __future__ import annotations

from collections import Counter
from datetime import timedelta
from random import Random

import numpy as np
import pytest

from rhythms.engine import FillSpace, RuleSet
from rhythms.engine.comfort.expectation import room
from rhythms.engine.comfort.playing import FEWEST, MOST_KINDS, Playing, in_draw
from rhythms.engine.comfort.variety_estimate import change, student, variety
from rhythms.engine.fills.likeness import likeness_table
from rhythms.engine.fills.variety import effective_fills, effective_number
from rhythms.engine.prior.drawing import draw
from tests.engine.comfort.simulated_habits import (
    FIRST_DAY,
    KIT,
    SIXTEENTHS,
    TURNS,
    anything,
    played,
    plays_of,
    space,
    walk_down,
)


def test_too_few_takes_say_nothing():
    fills = space().sample(FEWEST, seed=1)
    assert variety(played(fills[:-1])) is None
    assert variety(played(fills)) is not None


def test_many_fills_of_few_takes_are_few_takes():
    assert variety(played(space().sample(40, seed=1), a_take=10)) is None


def test_one_fill_over_and_over_is_one_and_perhaps_one_more_that_no_take_has():
    few, many = (variety(played([walk_down()] * takes)) for takes in (FEWEST, 40))
    for estimate in (few, many):
        assert (estimate.value, estimate.low) == pytest.approx((1, 1))
    assert few.high == pytest.approx(1.6, abs=0.1)
    assert many.high == pytest.approx(1.08, abs=0.02)


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


FILLS_OF = {
    "anything": lambda: space(SIXTEENTHS).sample(30, seed=5),
    "as drummers play": lambda: draw(FillSpace(TURNS, RuleSet(()), KIT), 30, "5"),
}


@pytest.fixture(scope="module", params=FILLS_OF)
def repertoire(request):
    """Thirty fills."""
    return [fill.without_hands() for fill in FILLS_OF[request.param]()]


@pytest.mark.parametrize("evenness", [0.1, 0.5, 2.0], ids=["few favourites", "some", "even"])
def test_the_interval_holds_the_truth_for_students_whose_habits_are_known(repertoire, evenness):
    """Students draw from their fills with chances known to the test, so the truth is computed.

    Nine in ten intervals hold it, at a nominal 95 %, and about as many for any number of takes;
    `manage.py real_players` asks many more students.
    """
    table, random = likeness_table(repertoire), np.random.default_rng(6)
    held = []
    for takes in (FEWEST, 10, 20, 40, 80):
        found = [_one_student(repertoire, table, evenness, takes, random) for _ in range(40)]
        held.append(sum(one.low <= truth <= one.high for one, truth in found))
        assert abs(np.mean([np.log(one.value / truth) for one, truth in found])) < 0.06
    assert sum(held) >= 180
    assert min(held) >= 34


def _one_student(repertoire, table, evenness, takes, random):
    chances = random.dirichlet(np.full(len(repertoire), evenness))
    drawn = random.choice(len(repertoire), takes, p=chances)
    truth = effective_number(chances.tolist(), table)
    return variety(played([repertoire[at] for at in drawn])), truth


def test_fills_of_one_take_that_are_alike_do_not_make_it_surer():
    """Four times the same in each take is one take of it each, to value and interval."""
    random = np.random.default_rng(8)
    fills = [walk_down(int(start)) for start in random.choice(9, 20)]
    once, often = played(fills), played([fill for fill in fills for _ in range(4)], a_take=4)
    assert variety(often) == variety(once)


def test_a_long_take_is_one_take():
    fills = [anything(Random(1)), *[walk_down()] * 19]
    usual = variety(played(fills))
    longer = variety(played(fills, seconds=lambda number: 4.0 if number else 400.0))
    assert longer.value == pytest.approx(usual.value)


@pytest.mark.parametrize(
    ("freedom", "quantile"), [(7, 2.3646), (9, 2.2622), (19, 2.0930), (79, 1.9905)]
)
def test_quantiles_of_students_distribution_are_the_published_ones(freedom, quantile):
    assert student(0.975, freedom) == pytest.approx(quantile, abs=2e-4)


def test_there_is_room_for_the_fills_that_were_asked_for():
    fills = space().sample(3, seed=4)
    plays = [play._replace(asked=play.fill) for play in played(fills * 4).plays]
    assert room(Playing.of(plays)) == pytest.approx(effective_fills(fills))


def test_there_is_room_for_what_was_assigned_and_never_played():
    fills = space().sample(6, seed=4)
    plays = [play._replace(asked=play.fill) for play in played(fills[:2] * 4).plays]
    assert room(Playing.of(plays), fills) == pytest.approx(effective_fills(fills))


def test_free_playing_has_no_room_to_be_held_against():
    assert room(played(space().sample(3, seed=4))) is None


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


def test_of_very_many_different_fills_takes_are_drawn_from_all_the_time():
    random = Random(11)
    playing = played([anything(random) for _ in range(2 * MOST_KINDS)])
    assert len(playing.kinds) == MOST_KINDS
    assert len(playing.left_out) == MOST_KINDS
    quarters = Counter(
        (play.day - FIRST_DAY).days * 4 // (2 * MOST_KINDS) for play in playing.plays
    )
    assert min(quarters.values()) > MOST_KINDS / 5
    assert [play.day for play in playing.plays] == sorted(play.day for play in playing.plays)


def test_a_take_more_moves_no_other_out_of_the_draw_but_one():
    random = Random(11)
    fills = [anything(random) for _ in range(MOST_KINDS + 40)]
    before, after = played(fills[:-1]), played(fills)
    assert len(set(before.takes) - set(after.takes)) <= 1


def test_takes_of_the_days_that_are_spoken_of_come_first():
    random = Random(11)
    fills = [anything(random) for _ in range(MOST_KINDS + 40)]
    since = FIRST_DAY + timedelta(days=40)
    assert {play.day >= since for play in Playing.of(plays_of(fills), since).plays} == {True}


def test_takes_are_looked_at_whole():
    random = Random(11)
    playing = played([anything(random) for _ in range(MOST_KINDS + 40)], a_take=7)
    assert set(Counter(play.take for play in playing.plays).values()) == {7}
    assert MOST_KINDS - 7 < len(playing.kinds) <= MOST_KINDS


def test_a_take_of_more_than_can_be_looked_at_is_looked_at():
    random = Random(11)
    playing = played([anything(random) for _ in range(MOST_KINDS + 40)], a_take=1000)
    assert len(playing.takes) == 1


def test_takes_behind_those_that_count_are_not_asked_for(monkeypatch):
    monkeypatch.setattr("rhythms.engine.comfort.playing.MOST_PLAYS", 50)
    day = played([walk_down()]).plays[0]
    days = {f"take {number}": day.day for number in range(200)}
    takes = iter([[day._replace(take=take)] for take in in_draw(days)])
    assert len(Playing.drawn(days, takes).plays) == 50
    assert len(list(takes)) == 149


def test_part_of_the_days_is_as_alike_as_by_itself():
    playing = played(space().sample(30, seed=4))
    part = playing.between(FIRST_DAY + timedelta(days=5), FIRST_DAY + timedelta(days=20))
    np.testing.assert_array_equal(part.alike, likeness_table(part.kinds))
