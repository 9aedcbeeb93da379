"""Which groove was played around free fills."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from random import Random

import pytest

from rhythms.engine import Bar, Kit, Meter, Surface
from rhythms.engine.bars.feel import Feel
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.groove import Groove, GrooveHit
from rhythms.engine.playback.groove_library import groove_named, library
from rhythms.engine.takes import CLICK, Recording, analyse
from rhythms.engine.takes.groove_heard import OTHER_GROOVE, groove_heard
from rhythms.engine.takes.hits import TimedHit
from rhythms.engine.takes.stroke_reading import PlacedHit
from tests.engine.takes.simulated_player import Errors, play

FOUR = Meter.parse("4/4")
BASS_ON_OFF_BEATS = Groove(
    "mine",
    FOUR,
    tuple(GrooveHit(Fraction(2 * at + 1, 4), Surface.BASS_DRUM, "normal") for at in range(8)),
)


def struck(groove: Groove, bars: int = 4, *, first: int = 0) -> list[PlacedHit]:
    return [
        PlacedHit(bar, hit.onset, 0.0, TimedHit(0.0, hit.surface, 80))
        for bar in range(bars)
        for hit in groove.in_bar(bar + first)
    ]


def heard(placed, grooves=None, meter=FOUR, feel=None) -> Groove | None:
    bars = {each.bar for each in placed}
    return groove_heard(placed, bars, grooves or library(), meter, feel or Feel())


@pytest.mark.parametrize("groove", library(), ids=lambda groove: groove.name)
def test_each_groove_of_the_library_is_known_by_its_name(groove):
    meter, feel = groove.meter.one_bar, groove.feel
    assert heard(struck(groove), meter=meter, feel=feel) == groove


def test_a_groove_of_two_bars_is_known_whichever_bar_it_begins_with():
    samba = next(one for one in library() if one.name == "bossa nova")
    assert samba.meter.bars == 2
    assert heard(struck(samba, first=1)) == samba


def test_a_groove_with_a_few_strokes_more_or_less_keeps_its_name():
    random, right = Random(3), 0
    for _ in range(20):
        groove = groove_named("funk", FOUR)
        kept = [each for each in struck(groove) if random.random() > 0.1]
        ghosts = [each._replace(onset=Fraction(random.randrange(16), 4)) for each in kept[:3]]
        right += heard([*kept, *ghosts]) == groove
    assert right == 20


def test_a_shuffle_that_is_swung_is_the_one_written_in_triplets():
    shuffle = groove_named("shuffle", FOUR)
    straight = [
        each._replace(onset=each.onset - Fraction(1, 6) if each.onset % 1 else each.onset)
        for each in struck(shuffle)
    ]
    assert heard(straight, feel=Feel(67)) == shuffle


def test_what_is_like_no_groove_has_no_name():
    assert heard(struck(BASS_ON_OFF_BEATS)) is None


def test_of_grooves_that_are_the_same_the_first_one_is_meant():
    rock = groove_named("rock", FOUR)
    mine = replace(rock, name="mine")
    assert heard(struck(rock), [mine, rock]).name == "mine"


def take_in(groove: Groove, grooves) -> str:
    """The groove of a free take: two blocks of three bars of it and a fill."""
    fill = snare_fill(Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a"))
    played = play(fill, 96, Errors(), seed=1, groove=groove)
    return analyse(
        Recording(
            played.events,
            FOUR,
            Kit.standard(),
            click=(96.0, played.start),
            latency=0.0,
            grooves=grooves,
        )
    ).groove


@pytest.mark.parametrize("name", ["rock", "funk", "disco", "jazz ride"])
def test_a_free_take_says_which_groove_it_was_played_with(name):
    assert take_in(groove_named(name, FOUR), library()) == name


def test_a_groove_that_is_not_known_is_another_one():
    assert take_in(groove_named("funk", FOUR), [groove_named("bossa nova", FOUR)]) == OTHER_GROOVE


def test_a_fill_alone_has_no_groove():
    fill = snare_fill(Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a"))
    played = play(fill, 96, Errors(), seed=1, bars=1, loops=1)
    alone = Recording(played.events, FOUR, Kit.standard(), (96.0, 0.0), grooves=library())
    assert analyse(alone).groove == ""


def test_a_bar_of_time_that_does_not_come_back_is_no_groove():
    rock = groove_named("rock", FOUR)
    keys = {Surface.HI_HAT: 42, Surface.SNARE: 38, Surface.BASS_DRUM: 36}
    events = [[float(hit.onset) * 625, keys[hit.surface], 80] for hit in rock.in_bar(0)]
    once = Recording(events, FOUR, Kit.standard(), (96.0, 0.0), grooves=library())
    assert analyse(once).grid.known == CLICK
    assert analyse(once).groove == ""
