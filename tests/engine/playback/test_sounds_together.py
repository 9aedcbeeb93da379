"""The timeline of strokes of several limbs: all of it sounds at once, and in order."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, Surface
from rhythms.engine.bars.feel import WORDS, Feel
from rhythms.engine.fills.fill import Hit, stroke_of
from rhythms.engine.playback.groove import plain_pulse
from rhythms.engine.playback.timeline import Block, Sound, fill_timeline
from tests.strategies import fills

SNARE, BASS_DRUM = Hit(Surface.SNARE, "L", "ghost"), Hit(Surface.BASS_DRUM, "RF", "accent")
TOM = Hit(Surface.FLOOR_TOM, "R")


def one(*hits: Hit, ornament: str | None = None) -> tuple[Sound, ...]:
    return fill_timeline(Fill(Bar.from_counts("1", "1/4"), (stroke_of(hits, ornament),)))


def test_two_hands_and_a_foot_sound_at_once_each_with_its_own_dynamic():
    assert one(SNARE, TOM, BASS_DRUM) == (
        Sound(Fraction(0), Surface.SNARE, "ghost", 0),
        Sound(Fraction(0), Surface.FLOOR_TOM, "normal", 0),
        Sound(Fraction(0), Surface.BASS_DRUM, "accent", 0),
    )


def test_a_flam_over_a_foot_has_its_grace_note_before_both():
    grace, hand, foot = one(SNARE, BASS_DRUM, ornament="flam")
    assert (grace.grace, grace.surface) == (True, Surface.SNARE)
    assert grace.onset < hand.onset == foot.onset


def test_the_foot_under_a_diddle_sounds_once():
    sounds = one(SNARE, BASS_DRUM, ornament="diddle")
    assert [(sound.onset, sound.surface) for sound in sounds] == [
        (0, Surface.SNARE),
        (0, Surface.BASS_DRUM),
        (Fraction(1, 2), Surface.SNARE),
    ]


@given(fills(together=True))
def test_every_hit_sounds_once_as_loud_as_it_is(fill):
    """In a block, where the first stroke has room for its grace notes."""
    bar = fill.bar
    sounds = Block(fill, plain_pulse(bar.meter)).fill_bar
    on_time = {(note.index, note.onset) for note in bar.sounded}
    found = Counter(
        (sound.note, sound.surface, sound.dynamic)
        for sound in sounds
        if (sound.note, sound.onset) in on_time and not sound.grace
    )
    assert found == Counter(
        (index, hit.surface, hit.dynamic)
        for index, stroke in enumerate(fill.strokes)
        for hit in stroke.hits
    )


@given(fills(together=True), st.sampled_from(sorted(WORDS)))
def test_the_sounds_are_in_order_however_they_swing(fill, swing):
    onsets = [sound.onset for sound in fill_timeline(fill, feel=Feel(swing))]
    assert onsets == sorted(onsets)
