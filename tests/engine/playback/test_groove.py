"""Grooves: a bar of time in every meter, on any kit."""

from fractions import Fraction

import pytest
from hypothesis import given

from rhythms.engine import Bar, Meter, Surface
from rhythms.engine.playback.groove import (
    Groove,
    GrooveError,
    GrooveHit,
    groove_of_bar,
    plain_pulse,
)
from rhythms.engine.playback.groove_library import groove_named, grooves_for
from rhythms.engine.playback.stand_ins import landing_on
from tests.strategies import METERS, sounding_bars


def struck(groove: Groove, surface: Surface) -> list[Fraction]:
    return [hit.onset for hit in groove.hits if hit.surface == surface]


@pytest.mark.parametrize("meter", METERS)
def test_the_pulse_of_every_meter_starts_on_one_and_stays_in_its_bar(meter):
    pulse = plain_pulse(Meter.parse(meter))
    onsets = [hit.onset for hit in pulse.hits]
    assert onsets[0] == 0
    assert onsets == sorted(onsets)
    assert onsets[-1] < pulse.meter.length


def test_rock_has_eighths_on_the_hi_hat_and_the_snare_on_two_and_four():
    rock = groove_named("rock", Meter(4, 4))
    assert struck(rock, Surface.HI_HAT) == [Fraction(k, 2) for k in range(8)]
    assert struck(rock, Surface.SNARE) == [1, 3]
    assert struck(rock, Surface.BASS_DRUM) == [0, 2, Fraction(5, 2)]


def test_the_shuffle_is_in_triplets_without_their_middle():
    hats = struck(groove_named("shuffle", Meter(4, 4)), Surface.HI_HAT)
    assert {onset % 1 for onset in hats} == {0, Fraction(2, 3)}


def test_a_groove_of_another_meter_is_not_there():
    with pytest.raises(GrooveError, match="no groove “rock” in 3/4; there are 3/4 in eighths, w"):
        groove_named("rock", Meter(3, 4))


@pytest.mark.parametrize(
    ("meter", "backbeats"),
    [("4/4", [1, 3]), ("2/4", [1]), ("5/4", [4]), ("6/8", [Fraction(3, 2)]), ("7/8", [2])],
)
def test_the_pulse_has_its_snare_on_the_backbeats(meter, backbeats):
    assert struck(plain_pulse(Meter.parse(meter)), Surface.SNARE) == backbeats


@given(sounding_bars())
def test_a_bar_as_a_groove_has_every_note_of_the_bar_on_snare_or_bass_drum(bar):
    groove = groove_of_bar(bar)
    for note in bar.sounded:
        surface = Surface.SNARE if note.accent else Surface.BASS_DRUM
        assert GrooveHit(note.onset, surface, "normal") in groove.hits


def test_a_bar_with_accents_leaves_the_snare_to_them():
    groove = groove_of_bar(Bar.from_counts("1 & 2> & 3 & 4 &>"))
    assert struck(groove, Surface.SNARE) == [1, Fraction(7, 2)]


def test_a_bar_without_accents_keeps_the_backbeats():
    assert struck(groove_of_bar(Bar.from_counts("1 2 3 4")), Surface.SNARE) == [1, 3]


def test_a_kit_without_a_ride_plays_it_on_the_hi_hat():
    kit = [surface for surface in Surface if surface != Surface.RIDE]
    jazz = groove_named("jazz ride", Meter(4, 4))
    assert struck(jazz.on(kit), Surface.HI_HAT) == struck(jazz, Surface.RIDE)


def test_a_cross_stick_is_struck_on_any_snare_and_a_bell_on_any_ride():
    hits = (
        GrooveHit(Fraction(0), Surface.RIDE_BELL, "normal"),
        GrooveHit(Fraction(1), Surface.CROSS_STICK, "normal"),
    )
    groove = Groove("bells", Meter(4, 4), hits)
    assert groove.on([Surface.SNARE, Surface.RIDE]) == groove
    other = groove.on([Surface.HIGH_TOM, Surface.COWBELL]).hits
    assert [hit.surface for hit in other] == [Surface.COWBELL, Surface.HIGH_TOM]


def test_a_kit_that_has_everything_changes_nothing():
    for groove in grooves_for(Meter(4, 4)):
        assert groove.on(tuple(Surface)) == groove


def test_a_pad_alone_plays_what_it_can():
    rock = groove_named("rock", Meter(4, 4)).on([Surface.SNARE])
    assert {hit.surface for hit in rock.hits} == {Surface.SNARE}


def test_two_lines_that_meet_on_one_surface_are_one_stroke():
    kit = [Surface.FLOOR_TOM, Surface.SNARE]
    hits = groove_named("rock", Meter(4, 4)).on(kit).hits
    assert len({(hit.onset, hit.surface) for hit in hits}) == len(hits)


@pytest.mark.parametrize(
    ("surfaces", "landing"),
    [
        (tuple(Surface), (Surface.CRASH, Surface.BASS_DRUM)),
        ((Surface.SNARE, Surface.RIDE, Surface.BASS_DRUM), (Surface.RIDE, Surface.BASS_DRUM)),
        ((Surface.SNARE, Surface.CHINA, Surface.RIDE), (Surface.RIDE,)),
        ((Surface.SNARE, Surface.CHINA, Surface.SPLASH), (Surface.CHINA,)),
        ((Surface.SNARE, Surface.HI_HAT), (Surface.HI_HAT,)),
        ((Surface.SNARE,), (Surface.SNARE,)),
    ],
)
def test_the_landing_is_on_what_the_kit_has(surfaces, landing):
    assert landing_on(surfaces) == landing


def test_a_hit_outside_the_bar_is_refused():
    hit = GrooveHit(Fraction(4), Surface.SNARE, "normal")
    with pytest.raises(GrooveError, match="no place at 4 quarters"):
        Groove("too long", Meter(4, 4), (hit,))
