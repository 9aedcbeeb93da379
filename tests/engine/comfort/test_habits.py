"""Moves beyond chance, and what is left out."""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest

from rhythms.bench.markov_chain import Chain
from rhythms.engine import Kit, RuleSet, Surface, draw
from rhythms.engine.comfort.expectation import Given, moves_of_space
from rhythms.engine.comfort.habits import MoveMade, moves_made
from rhythms.engine.comfort.playing import Playing
from rhythms.engine.comfort.rhythm_chances import even_prior, hand_moves
from rhythms.engine.comfort.traits import traits
from rhythms.engine.comfort.untouched import stickings_unused, stickings_used, surfaces_unused
from rhythms.engine.space.moves import observed_moves
from tests.engine.comfort.simulated_habits import (
    FLOOR,
    HIGH,
    KIT,
    MID,
    SIXTEENTHS,
    SNARE,
    anything,
    on,
    played,
    space,
    walk_down,
)

FREE = space(SIXTEENTHS, RuleSet(()))


def made(fills, given=FREE, **details):
    playing = played(fills, **details)
    return moves_made(playing, Given.of([given]), KIT)


def habits(fills, given=FREE, **details):
    return {(one.origin, one.target) for one in made(fills, given, **details) if one.is_habit}


def test_the_moves_of_a_chain_are_found_again():
    """The habits that were put into the chain, and no other."""
    favoured = {(SNARE, HIGH): 30.0, (HIGH, MID): 30.0, (MID, SNARE): 30.0}
    chain, random = Chain(KIT, favoured), Random(2)
    assert habits([chain.play(SIXTEENTHS, random) for _ in range(60)]) == set(favoured)


def test_whoever_plays_at_random_has_no_habits():
    random = Random(3)
    assert habits([anything(random) for _ in range(60)]) == set()


def test_moves_that_the_rules_leave_no_choice_about_are_no_habits():
    """All on the snare: the move is made always, and expected always."""
    only = space(rules=RuleSet.from_json([{"rule": "placement", "surfaces": ["snare"]}]))
    (move,) = made([only.fill(0)] * 10, only, asked=only)
    assert (move.share, move.expected) == pytest.approx((1, 1))
    assert not move.is_habit


def test_a_move_that_was_not_to_be_expected_is_a_habit():
    only = space(rules=RuleSet.from_json([{"rule": "placement", "surfaces": ["snare"]}]))
    found = {(one.origin, one.target): one for one in made([walk_down()] * 10, only)}
    assert found[HIGH, MID].is_habit
    assert found[HIGH, MID].times > 3


def test_shares_of_moves_add_up_to_one():
    random = Random(4)
    assert sum(one.share for one in made([anything(random) for _ in range(9)])) == pytest.approx(1)


def test_a_move_says_where_it_arrives():
    found = {(one.origin, one.target): one for one in made([walk_down()] * 10)}
    assert found[SNARE, HIGH].beat == 3
    assert found[MID, FLOOR].beat == 4


def test_expected_shares_are_those_of_every_fill_of_the_space():
    small = space(rules=RuleSet.from_json([{"rule": "placement", "surfaces": ["snare", "ride"]}]))
    counted = observed_moves(small.fill(rank) for rank in range(small.size))
    shares = moves_of_space(small)
    for (origin, target), share in shares.items():
        times = sum(n for move, n in counted.items() if move[1:] == (origin, target))
        assert share == pytest.approx(times / counted.total())


def test_without_anything_given_others_are_drummers_on_the_same_rhythm():
    playing = played([walk_down()] * 10)
    found = {(m.origin, m.target): m for m in moves_made(playing, Given.of([]), KIT)}
    drawn = draw(space(SIXTEENTHS, RuleSet(())), 300, seed=2, prior=even_prior())
    moves = Counter(pair for fill in drawn for pair in hand_moves(fill))
    by_hand = moves[SNARE, SNARE] / moves.total()
    assert found[SNARE, SNARE].expected == pytest.approx(by_hand, abs=0.12)


def test_a_fill_that_was_asked_for_is_what_was_to_be_expected():
    plays = [play._replace(asked=walk_down()) for play in played([walk_down()] * 10).plays]
    found = moves_made(Playing.of(plays), Given.of([]), KIT)
    assert all(move.share == pytest.approx(move.expected) for move in found)
    assert not any(move.is_habit for move in found)


def test_however_a_drum_is_struck_it_is_one_place_to_go_to():
    ways = [Surface.OPEN_HI_HAT, Surface.HI_HAT, Surface.HALF_OPEN_HI_HAT, Surface.RIM_SHOT]
    found = {(one.origin, one.target): one for one in made([on(ways * 4)] * 10)}
    hat = Surface.HI_HAT
    assert found.keys() == {(hat, hat), (hat, SNARE), (SNARE, hat)}
    assert found[hat, hat].share == pytest.approx(8 / 15)


def test_an_open_hi_hat_is_a_hi_hat_that_is_struck():
    playing = played([on([Surface.OPEN_HI_HAT, Surface.RIM_SHOT] * 8)])
    unused = surfaces_unused(playing, Given.of([FREE]), KIT)
    assert not {Surface.HI_HAT, SNARE} & set(unused)


def test_traits_name_the_drum_however_it_is_struck():
    fill = on([Surface.OPEN_HI_HAT, Surface.HI_HAT] * 8)
    assert "never leave the hi-hat" in {trait.words for trait in traits(fill)}


def test_surfaces_of_the_kit_that_were_never_struck_are_named_in_order():
    playing = played([walk_down()])
    given = Given.of([FREE])
    assert surfaces_unused(playing, given, KIT) == (
        Surface.HI_HAT,
        Surface.RIDE,
        Surface.CRASH,
        Surface.COWBELL,
    )


def test_feet_are_missed_only_where_they_were_asked_for():
    feet = space(rules=RuleSet.from_json([{"rule": "feet", "values": ["16th"], "on": "notes"}]))
    playing = played([walk_down()])
    assert Surface.BASS_DRUM in surfaces_unused(playing, Given.of([feet]), KIT)


def test_hands_that_nobody_knows_say_nothing_about_stickings():
    assert stickings_used([walk_down()]) is None


@pytest.mark.parametrize(
    ("hands", "name"),
    [
        ("RLRL" * 4, "single stroke roll"),
        ("RRLL" * 4, "double stroke roll"),
        ("RLRRLRLL" * 2, "single paradiddle"),
        ("LRLLRLRR" * 2, "single paradiddle"),
        ("RLRRLLRLRRLLRLRL", "paradiddle-diddle"),
    ],
)
def test_a_sticking_is_heard_whichever_hand_leads(hands, name):
    assert name in stickings_used([on([SNARE] * 16, hands=hands)])


def test_single_strokes_are_no_paradiddle():
    used = stickings_used([on([SNARE] * 16, hands="RLRL" * 4)])
    assert used == ("single stroke roll",)
    assert "single paradiddle" in stickings_unused(used)


def test_a_sticking_on_the_16ths_is_heard_through_the_eighths_between():
    paradiddle = {"rule": "sticking", "values": ["16th"], "rudiment": "single paradiddle"}
    fill = space(rules=RuleSet.from_json([paradiddle])).fill(0)
    assert "single paradiddle" in stickings_used([fill])


def test_a_chain_keeps_to_its_kit():
    pad = Kit.of(["snare"])
    fill = Chain(pad, {(SNARE, HIGH): 50.0}).play(SIXTEENTHS, Random(1))
    assert {stroke.surface for stroke in fill.strokes} == {SNARE}


def test_a_chain_learns_the_moves_it_practises():
    """Staying on the snare, and going from there to the high tom, drummers do as often."""
    chain, random = Chain(KIT, {}), Random(5)
    chain.learn([walk_down()] * 200, by=1.0)
    assert habits([chain.play(SIXTEENTHS, random) for _ in range(60)]) == {
        (HIGH, MID),
        (MID, FLOOR),
        (FLOOR, FLOOR),
    }


@pytest.mark.parametrize(
    ("share", "expected", "rate", "habit"),
    [
        (0.30, 0.10, 0.01, True),
        (0.30, 0.10, 0.06, False),  # luck may do as much
        (0.30, 0.25, 0.01, False),  # hardly more than was asked for
        (0.03, 0.01, 0.01, False),  # too rare to matter
    ],
)
def test_a_habit_is_frequent_far_above_what_was_asked_for_and_surely_so(
    share, expected, rate, habit
):
    move = MoveMade(SNARE, HIGH, share, expected, rate, beat=1, beat_share=1.0)
    assert move.is_habit == habit


def test_the_beat_that_is_named_has_its_part_of_the_move():
    """From snare to high tom on 2 in three plays, on 4 in one."""
    on_two = on([SNARE] * 4 + [HIGH] * 12)
    on_four = on([SNARE] * 12 + [HIGH] * 4)
    moves = made([on_two, on_two, on_two, on_four] * 2)
    (move,) = [one for one in moves if (one.origin, one.target) == (SNARE, HIGH)]
    assert (move.beat, move.beat_share, move.is_mostly_there) == (2, pytest.approx(0.75), True)


def test_a_move_that_is_spread_over_the_bar_is_mostly_nowhere():
    beats = [on([SNARE] * (4 * beat) + [HIGH] * (16 - 4 * beat)) for beat in (1, 2, 3)]
    (move,) = [one for one in made(beats * 3) if (one.origin, one.target) == (SNARE, HIGH)]
    assert not move.is_mostly_there
