"""Laws of the bass and chords under a block, on any fill and every groove of its meter."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Meter, Surface
from rhythms.engine.bars.feel import Feel
from rhythms.engine.bars.phrases import phrase_of
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.backing import BASS_RANGE, KEYS_RANGE, Backing
from rhythms.engine.playback.groove_library import groove_named, grooves_for
from rhythms.engine.playback.timeline import BLOCK_BARS, Block
from tests.strategies import sounding_bars

#: Semitones above the root of major and minor triads.
TRIADS = {(0, 4, 7), (0, 3, 7), (0, 3, 6)}


@st.composite
def blocks(draw: st.DrawFn) -> Block:
    bar = draw(sounding_bars())
    groove = draw(st.sampled_from(grooves_for(bar.meter.one_bar)))
    bars = draw(st.sampled_from([bar.meter.bars, *BLOCK_BARS]))
    return Block(snare_fill(bar), groove, max(bars, bar.meter.bars))


def a_block(counts: str = "1 & 2 e & a 3 & 4", groove: str = "rock", **how) -> Block:
    return Block(snare_fill(Bar.from_counts(counts)), groove_named(groove, Meter(4, 4)), **how)


@given(blocks())
def test_bass_and_keys_play_tones_of_the_bars_chord_alone(block):
    backing = Backing(block)
    for tone in backing.tones:
        chord = backing.chords[int(tone.onset / block.meter.length)]
        root = chord.bass[0]
        above = tuple(sorted({(pitch - root) % 12 for pitch in chord.keys}))
        assert above in TRIADS
        assert (tone.pitch - root) % 12 in above


@given(blocks())
def test_all_of_it_lies_within_what_bass_and_keys_have(block):
    for tone in Backing(block).tones:
        lowest, highest = BASS_RANGE if tone.part == "bass" else KEYS_RANGE
        assert lowest <= tone.pitch <= highest


@given(blocks())
def test_every_bar_has_its_root_on_the_one_and_nothing_sounds_over_its_end(block):
    tones = Backing(block).tones
    length = block.meter.length
    for bar in range(block.bars + 1):
        ones = [tone for tone in tones if tone.onset == bar * length]
        assert {tone.part for tone in ones} == {"bass", "keys"}
    for tone in tones:
        assert tone.length > 0
        assert tone.onset % length + tone.length <= length


@given(blocks())
def test_it_lands_on_the_first_step_on_the_one_after_the_fill(block):
    backing = Backing(block)
    landing = [tone for tone in backing.tones if tone.onset >= block.length]
    assert {tone.onset for tone in landing} == {block.length}
    assert backing.chords[-1] == backing.chords[0] or block.bars == 1
    assert [tone.pitch for tone in landing if tone.part == "bass"] == [backing.chords[-1].bass[0]]


@given(blocks())
def test_what_leads_to_the_landing_is_another_chord(block):
    chords = Backing(block).chords
    assert chords[-2] != chords[-1]


@given(blocks())
def test_where_the_groove_plays_the_bass_strikes_with_the_bass_drum_or_on_the_one(block):
    length, fill_starts = block.meter.length, block.fill_onset
    drum = {
        sound.onset % length for sound in block.sounds if sound.surface is Surface.BASS_DRUM
    } | {Fraction(0)}
    bass = [tone for tone in Backing(block).tones if tone.part == "bass"]
    assert all(tone.onset % length in drum for tone in bass if tone.onset < fill_starts)


@given(blocks())
def test_the_same_block_has_the_same_backing(block):
    again = Block(block.fill, block.groove, block.bars)
    assert Backing(again).tones == Backing(block).tones


def test_under_the_fill_both_hold_what_they_have():
    tones = [tone for tone in Backing(a_block()).tones if 12 <= tone.onset < 16]
    assert {(tone.onset, tone.length) for tone in tones} == {(12, 4)}


def test_before_a_late_fill_the_groove_is_played_and_its_last_note_held():
    tones = Backing(a_block("(1) (2) 3 & 4 e & a")).tones
    bass = [tone for tone in tones if tone.part == "bass" and 12 <= tone.onset < 16]
    assert bass[0].onset == 12
    assert bass[-1].onset < 14
    assert bass[-1].onset + bass[-1].length == 16


def test_between_the_fills_of_a_phrase_the_bass_goes_on_with_the_groove():
    phrase = phrase_of(Bar.from_counts("1 & 2 e & a 3 & 4 e & a"), 4, 2)
    block = Block(snare_fill(phrase), groove_named("rock", Meter(4, 4)), 8)
    tones = [tone for tone in Backing(block).tones if tone.part == "bass"]
    third = [tone.onset - 24 for tone in tones if 24 <= tone.onset < 28]
    first = [tone.onset for tone in tones if tone.onset < 4]
    assert third == first


def test_the_last_bass_note_of_a_bar_of_groove_is_a_fifth():
    backing = Backing(a_block())
    bass = [tone for tone in backing.tones if tone.part == "bass" and tone.onset < 4]
    assert bass[-1].pitch - bass[0].pitch == 7


def test_keys_answer_before_the_middle_where_it_swings():
    straight, swung = Backing(a_block()).keys, Backing(a_block(feel=Feel(67))).keys
    assert [note.onset for note in straight] == [0, 2]
    assert [note.onset for note in swung] == [0, Fraction(3, 2)]


def test_blocks_are_in_several_keys_and_progressions():
    counts = ("1 2 3 4", "1 & 2 3 4", "1 2 & 3 4", "1 2 3 & 4", "1 2 3 4 &", "1 e & a 2 3 4")
    chords = {Backing(a_block(one)).chords for one in counts}
    assert len(chords) >= 4


@pytest.mark.parametrize("bars", BLOCK_BARS)
def test_there_is_a_chord_for_each_bar_and_one_to_land_on(bars):
    assert len(Backing(a_block(bars=bars)).chords) == bars + 1
