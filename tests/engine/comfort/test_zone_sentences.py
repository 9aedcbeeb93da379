"""The sentences a teacher would say."""

from __future__ import annotations

from random import Random

import pytest

from rhythms.engine import Bar, RuleSet, Surface
from rhythms.engine.comfort import comfort_zone
from rhythms.engine.comfort.traits import traits
from rhythms.engine.comfort.zone_sentences import of_fills
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


def sentences_of(fills, **details):
    return comfort_zone(played(fills, **details), [FREE], KIT).sentences


def words(fill):
    return [trait.words for trait in traits(fill)]


def test_eight_of_ten_fills_walk_down_the_toms():
    """The start of each walk differs, so that no fill is the same; the rest is anything."""
    random = Random(1)

    def walk():
        head = [random.choice(KIT.hand_surfaces[4:]) for _ in range(8)]
        return on([*head, *[HIGH] * 3, *[MID] * 2, *[FLOOR] * 3])

    fills = [anything(random) if n % 5 == 0 else walk() for n in range(40)]
    told = "Walks down the toms from beat 3 in 8 of 10; others in 5 of 100. Sure: 40 takes."
    assert sentences_of(fills)[0] == told


def test_the_same_two_fills_are_the_first_thing_to_say():
    pair = space().sample(2, seed=4)
    assert sentences_of(pair * 10)[0] == "All fills are one of the same two, or nearly."


def test_one_fill_nearly_always_is_the_first_thing_to_say():
    random = Random(2)
    fills = [anything(random) if n % 3 == 0 else walk_down() for n in range(30)]
    assert sentences_of(fills)[0] == "Two of three fills are one and the same, or nearly."


def test_where_nothing_stands_out_there_is_no_sentence():
    random = Random(3)
    assert sentences_of([anything(random) for _ in range(40)]) == ()


def test_what_the_rules_ask_for_is_no_habit():
    """Eighths stay on the snare, so every fill begins there."""
    given = space()
    zone = comfort_zone(played(given.sample(40, seed=6), asked=given), [given], KIT)
    assert zone.sentences == ()


def test_takes_count_alike_however_long_they_are():
    random = Random(4)
    fills = [walk_down() if n % 4 == 0 else anything(random) for n in range(40)]
    long_walks = played(fills, seconds=lambda number: 20.0 if number % 4 == 0 else 1.0)
    facts = comfort_zone(played(fills), [FREE], KIT).facts
    assert facts
    assert comfort_zone(long_walks, [FREE], KIT).facts == facts


@pytest.mark.parametrize(
    ("surfaces", "expected"),
    [
        ([SNARE] * 8 + [HIGH] * 3 + [MID] * 3 + [FLOOR] * 2, "walk down the toms from beat 3"),
        (
            [SNARE] * 10 + [HIGH] * 2 + [MID] * 2 + [FLOOR] * 2,
            "walk down the toms from beat 3",
        ),
        ([FLOOR] * 4 + [MID] * 4 + [HIGH] * 8, "walk up the toms from beat 1"),
        ([SNARE] * 16, "never leave the snare"),
        ([SNARE, FLOOR] * 8, "use only snare and floor tom"),
        ([FLOOR, HIGH, MID, MID] * 4, "come back to the floor tom on every beat"),
        ([SNARE] * 4 + [FLOOR] * 12, "go from the snare to the floor tom into beat 2"),
        ([SNARE] * 15 + [Surface.CRASH], "end on the crash"),
        ([MID] + [SNARE] * 15, "begin on the mid tom"),
    ],
)
def test_a_fill_is_described_by_what_it_does(surfaces, expected):
    assert expected in words(on(surfaces))


@pytest.mark.parametrize(
    "surfaces",
    [
        [HIGH] * 8 + [MID] * 8,  # two toms are no walk
        [HIGH] * 4 + [SNARE] * 4 + [MID] * 4 + [FLOOR] * 4,  # the snare is between
        [MID] * 4 + [HIGH] * 4 + [MID] * 4 + [HIGH] * 4,
    ],
)
def test_what_is_no_walk_is_not_called_one(surfaces):
    assert not any("walk" in one for one in words(on(surfaces)))


def test_a_bar_of_rests_has_no_traits():
    assert traits(on([], Bar.from_counts("(1) - - -"))) == ()


@pytest.mark.parametrize(
    ("share", "expected"),
    [
        (1.0, "All fills"),
        (0.96, "Nearly all fills"),
        (0.91, "Nine of ten fills"),
        (0.81, "Four of five fills"),
        (0.74, "Three of four fills"),
        (0.66, "Two of three fills"),
        (0.6, "Three of five fills"),
        (0.5, "Half of the fills"),
    ],
)
def test_shares_are_written_in_small_numbers(share, expected):
    assert of_fills(share) == expected
