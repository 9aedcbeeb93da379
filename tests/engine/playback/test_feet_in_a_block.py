"""Feet that keep going in the timeline: under the fill, and a groove that leaves them free."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, Meter, Surface
from rhythms.engine.bars.feel import WORDS, Feel
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.groove import Groove, GrooveHit, plain_pulse
from rhythms.engine.playback.ostinato_library import ostinato_named, typed_ostinato
from rhythms.engine.playback.timeline import Block, Sound, fill_timeline
from tests.strategies import fills, ostinatos

BASS, HAT = Surface.BASS_DRUM, Surface.HI_HAT_FOOT
FOUR = Meter(4, 4)
SAMBA = ostinato_named("samba", FOUR)


@st.composite
def going(draw: st.DrawFn) -> Fill:
    fill = draw(fills(together=True))
    return Fill(fill.bar, fill.strokes, draw(ostinatos(fill.bar.meter)))


def over_samba(counts: str = "1 & 2 3 4") -> Fill:
    return replace(snare_fill(Bar.from_counts(counts)), ostinato=SAMBA)


def feet(sounds: tuple[Sound, ...], surface: Surface) -> list[Fraction]:
    return [sound.onset for sound in sounds if sound.surface == surface]


@given(going(), st.sampled_from(sorted(WORDS)))
def test_strokes_sound_as_they_do_without_them(fill, swing):
    feel = Feel(swing)
    alone = fill_timeline(Fill(fill.bar, fill.strokes), feel=feel)
    sounds = fill_timeline(fill, feel=feel)
    assert Counter(s for s in sounds if s.note is not None) == Counter(alone)
    onsets = [sound.onset for sound in sounds]
    assert onsets == sorted(onsets)


@given(going(), st.sampled_from(sorted(WORDS)))
def test_feet_sound_where_the_feel_has_their_counts(fill, swing):
    feel = Feel(swing)
    warp = feel.warp_of(fill.bar)
    found = [s for s in fill_timeline(fill, feel=feel) if s.note is None]
    assert Counter(found) == Counter(
        Sound(warp.sounding(hit.onset), hit.surface, hit.dynamic) for hit in fill.going_on
    )


def test_a_foot_that_the_groove_leaves_free_plays_in_its_bars_too():
    block = Block(over_samba(), plain_pulse(FOUR), 4)
    offbeats = [Fraction(1, 2) + beat for beat in range(16)]
    assert feet(block.sounds, HAT) == offbeats


def test_a_foot_that_the_groove_needs_is_the_grooves_until_the_fill():
    block = Block(over_samba("(1) (2) 3 & 4"), plain_pulse(FOUR), 4)
    own = [Fraction(0), *map(Fraction, (4, 8, 12))]
    under = [14, Fraction(59, 4), 15, Fraction(63, 4)]
    assert feet(block.sounds, BASS) == [*own, *under, 16]


def test_a_groove_without_feet_has_them_all():
    hats = tuple(GrooveHit(Fraction(beat), Surface.HI_HAT, "normal") for beat in range(4))
    block = Block(over_samba(), Groove("hats", FOUR, hats), 4)
    assert feet(block.groove_bar(0), BASS) == feet(SAMBA.over(1), BASS)
    assert block.groove_bar(0) == block.groove_bar(2)


def test_a_hi_hat_that_the_groove_has_open_is_not_closed_there():
    opened = (GrooveHit(Fraction(1, 2), Surface.OPEN_HI_HAT, "normal"),)
    block = Block(over_samba(), Groove("open", FOUR, opened), 4)
    assert feet(block.groove_bar(0), HAT) == [Fraction(3, 2), Fraction(5, 2), Fraction(7, 2)]
    assert feet(block.groove_bar(0), BASS) == feet(SAMBA.over(1), BASS)


def test_an_ostinato_in_the_groove_swings_with_it():
    eighths = typed_ostinato("mine", FOUR, {HAT: "1 & 2 & 3 & 4 &"})
    fill = replace(snare_fill(Bar.from_counts("1 2 3 4")), ostinato=eighths)
    block = Block(fill, plain_pulse(FOUR), 4, feel=Feel(67))
    swung = [beat + part for beat in range(4) for part in (0, Fraction(2, 3))]
    assert feet(block.groove_bar(0), HAT) == swung
    assert feet(block.fill_bar, HAT) == swung


def test_grace_notes_stay_by_their_stroke_where_a_foot_falls_between():
    """A drag on the third triplet reaches back over a foot on the a."""
    bar = Bar.from_counts("1 trip let 2", "2/4")
    plain = snare_fill(bar)
    dragged = plain.strokes[2]._replace(ornament="drag")
    feet_on_a = typed_ostinato("mine", Meter(2, 4), {BASS: "1 e & a"})
    strokes = (*plain.strokes[:2], dragged, plain.strokes[3])
    alone, over = Fill(bar, strokes), Fill(bar, strokes, feet_on_a)
    for feel in (Feel(50), Feel(67, "16ths")):
        kept = [s for s in fill_timeline(over, feel=feel) if s.note is not None]
        assert kept == list(fill_timeline(alone, feel=feel))
