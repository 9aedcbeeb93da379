"""The one thing that is to be another: named after a trait, drawn, and said where it is so."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from rhythms.engine import Bar, Kit, Surface, pick
from rhythms.engine.comfort.habits import MoveMade
from rhythms.engine.comfort.one_change import OTHER_DRUMS, OTHER_MOVES, OneChange
from rhythms.engine.comfort.traits import Trait, traits
from rhythms.engine.comfort.way_out_wish import WayOutWish
from rhythms.engine.fills.fill import Fill, Stroke
from tests.engine.space.test_fill_space import space_of

S = Surface
SIXTEENTHS = Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a")
SPACE = space_of(bar=SIXTEENTHS, kit=Kit.standard())
#: Two beats on the snare, then down the toms, a beat each, to the floor tom.
WALK = [S.SNARE] * 8 + [S.HIGH_TOM] * 2 + [S.MID_TOM] * 2 + [S.FLOOR_TOM] * 4
HATS = [S.SNARE, S.HI_HAT] * 8


def fill_of(surfaces) -> Fill:
    return Fill(SIXTEENTHS, tuple(map(Stroke, surfaces)))


def trait_of(surfaces, kind: str) -> Trait:
    """The trait of a real fill, so that what is read from its words is what is written there."""
    return next(trait for trait in traits(fill_of(surfaces)) if trait.kind == kind)


SAID = [
    (WALK, "walk down", "other ways round the kit from beat 3"),
    (WALK[::-1], "walk up", "other ways round the kit from beat 1"),
    (WALK, "end", "your ending, elsewhere"),
    (WALK[::-1], "start", "your beginning, elsewhere"),
    (HATS, "colours", "your rhythm, other drums than snare and hi-hat"),
    (HATS, "anchor", "your rhythm, other drums on the beats"),
    (WALK, "move", "another way into beat 3"),
]


@pytest.mark.parametrize(("played", "kind", "said"), SAID)
def test_a_change_is_said_as_a_teacher_would(played, kind, said):
    assert OneChange.of([trait_of(played, kind)], {}).words() == said


@pytest.mark.parametrize(("played", "kind", "said"), SAID)
def test_a_change_is_not_made_in_the_fill_it_leads_away_from(played, kind, said):
    change = OneChange.of([trait_of(played, kind)], {})
    assert not change.is_made_in(fill_of(played))
    assert change.is_made_in(fill_of([S.RIDE, S.SNARE, S.CRASH, S.SNARE] * 4)) or kind == "walk up"


@pytest.mark.parametrize(("played", "kind", "said"), SAID)
def test_what_is_drawn_makes_the_change(played, kind, said):
    wish = wish_of(played, [trait_of(played, kind)])
    picks = pick(SPACE, 6, [fill_of(played)], 60, 1, rarer=wish.rarer_steps(SIXTEENTHS))
    assert sum(wish.change.is_made_in(one.fill) for one in picks) >= 5


def wish_of(played, standing_out) -> WayOutWish:
    steps = list(pairwise(played))
    shares = {step: steps.count(step) / len(steps) for step in dict.fromkeys(steps)}
    return WayOutWish.of([made(*step, share) for step, share in shares.items()], standing_out)


def made(origin, target, share, expected=0.1) -> MoveMade:
    return MoveMade(origin, target, share, expected, 1.0, 1, 1.0)


def test_what_is_about_the_rhythm_is_kept_and_what_comes_next_is_changed():
    dense = Trait("density", "play {number} strokes a beat")
    change = OneChange.of([dense, trait_of(WALK, "end")], {})
    assert change.words("Noor’s") == "Noor’s ending, elsewhere"


def test_where_nothing_stands_out_it_is_the_move_made_most():
    shares = {(S.SNARE, S.SNARE): 0.6, (S.SNARE, S.RIDE): 0.3, (S.RIDE, S.SNARE): 0.1}
    change = OneChange.of([], shares)
    assert (change.trait.kind, change.surfaces) == (OTHER_MOVES, (S.SNARE, S.RIDE))
    assert change.words() == "your rhythm, other ways than snare to ride"


def test_others_make_a_move_as_often_then_it_is_another_one():
    moves = [made(S.SNARE, S.RIDE, 0.5, 0.6), made(S.RIDE, S.SNARE, 0.4, 0.05)]
    assert WayOutWish.of(moves, []).change.surfaces == (S.RIDE, S.SNARE)


def test_the_move_that_is_to_be_another_is_not_drawn():
    wish = wish_of([S.SNARE, S.FLOOR_TOM] * 8, [])
    played = fill_of([S.SNARE, S.FLOOR_TOM] * 8)
    assert not wish.change.is_made_in(played)
    picks = pick(SPACE, 6, [played], 60, 1, rarer=wish.rarer_steps(SIXTEENTHS))
    assert sum(wish.change.is_made_in(one.fill) for one in picks) >= 5


def test_who_stays_on_one_drum_is_led_to_others():
    change = OneChange.of([], {(S.SNARE, S.SNARE): 1.0})
    assert (change.trait.kind, change.surfaces) == (OTHER_DRUMS, (S.SNARE,))
    assert change.words() == "your rhythm, less on the snare"


@pytest.mark.parametrize(
    ("words", "surfaces"),
    [
        ("put {share} strokes on the floor tom", (S.FLOOR_TOM,)),
        ("put {share} strokes on the toms", (S.HIGH_TOM, S.MID_TOM, S.FLOOR_TOM)),
        ("put {share} strokes on the hi-hat", (S.HI_HAT,)),
    ],
)
def test_a_share_of_strokes_names_its_drums(words, surfaces):
    assert OneChange.of([Trait("surfaces", words)], {}).surfaces == surfaces


def test_a_drum_that_they_strike_now_and_then_is_not_taken_from_them():
    shares = {(S.SNARE, S.SNARE): 0.9, (S.SNARE, S.MID_TOM): 0.1}
    now_and_then = Trait("use", "strike the mid tom")
    assert OneChange.of([now_and_then], shares).trait.kind == OTHER_MOVES


def test_cymbals_and_bells_go_without_an_article():
    bright = Trait("surfaces", "put {share} strokes on cymbals and bells")
    assert OneChange.of([bright], {}).words() == "your rhythm, less on cymbals and bells"


def test_less_on_a_drum_is_clearly_less_than_they_strike_it():
    hats = Trait("surfaces", "put {share} strokes on the hi-hat")
    change = wish_of(HATS, [hats]).change
    assert change.words("their") == "their rhythm, less on the hi-hat"
    as_ever, less = HATS, [S.SNARE, S.HI_HAT] * 5 + [S.SNARE] * 6
    assert [change.is_made_in(fill_of(one)) for one in (as_ever, less)] == [False, True]


def test_a_reason_is_given_only_where_it_is_so():
    wish = wish_of(WALK, [trait_of(WALK, "end")])
    assert wish.says_of(fill_of(WALK)) == ""
    assert wish.says_of(fill_of([*WALK[:-1], S.RIDE])) == "Their ending, elsewhere."


def factors(*moves: MoveMade) -> np.ndarray:
    return WayOutWish.of(moves, []).rarer_steps(SIXTEENTHS).factors(3)


def at(table: np.ndarray, origin: Surface, target: Surface) -> float:
    surfaces = list(Surface)
    return table[surfaces.index(origin), surfaces.index(target)]


def test_the_more_often_a_move_is_made_the_less_it_weighs():
    table = factors(
        made(S.SNARE, S.FLOOR_TOM, 0.05), made(S.SNARE, S.RIDE, 0.02), made(S.RIDE, S.SNARE, 0.93)
    )
    rarest, rarer, as_ever = (at(table, S.SNARE, to) for to in (S.FLOOR_TOM, S.RIDE, S.CRASH))
    assert rarest < rarer < as_ever == 1


def test_what_others_make_as_often_weighs_more_than_what_they_do_not():
    table = factors(
        made(S.SNARE, S.RIDE, 0.05, expected=0.0),
        made(S.SNARE, S.FLOOR_TOM, 0.05, expected=0.05),
        made(S.RIDE, S.SNARE, 0.9),
    )
    assert at(table, S.SNARE, S.RIDE) < at(table, S.SNARE, S.FLOOR_TOM) < 1


def test_staying_on_a_drum_that_is_never_stayed_on_comes_to_weigh_more():
    table = factors(made(S.SNARE, S.SNARE, 0.6), made(S.SNARE, S.RIDE, 0.4))
    assert at(table, S.SNARE, S.SNARE) < 1 < at(table, S.MID_TOM, S.MID_TOM)
