"""MIDI files of fills and blocks, read by two general-purpose libraries of separate code.

mido is plain Python, symusic C++. Each must find what the engine's timeline says, to the tick.
"""

from __future__ import annotations

import io
from dataclasses import replace
from fractions import Fraction

import mido
import pytest
from hypothesis import given
from hypothesis import strategies as st
from symusic import Score

from rhythms.engine import Bar, Meter
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.groove_library import grooves_for
from rhythms.engine.playback.timeline import BLOCK_BARS, Block, Sound, fill_timeline
from rhythms.notation import block_midi, midi
from rhythms.notation.export.midi import ACCENT_VELOCITY, GHOST_VELOCITY, NORMAL_VELOCITY
from tests.published.fills_of_all_rules import fills_of_all_rules
from tests.strategies import fills, ostinatos
from tests.thoroughness import examples

#: General MIDI System Level 1, percussion map; 40 for a rim shot as electronic kits send it, 75
#: (claves) for sticks: common practice.
KEYS = {
    "snare": 38,
    "high tom": 48,
    "mid tom": 45,
    "floor tom": 43,
    "hi-hat": 42,
    "ride": 51,
    "ride bell": 53,
    "crash": 49,
    "splash": 55,
    "china": 52,
    "cowbell": 56,
    "cross-stick": 37,
    "bass drum": 36,
    "hi-hat foot": 44,
    "open hi-hat": 46,
    "half-open hi-hat": 46,
    "rim shot": 40,
    "stick on stick": 75,
}
VELOCITIES = {"ghost": GHOST_VELOCITY, "normal": NORMAL_VELOCITY, "accent": ACCENT_VELOCITY}
#: Ticks a quarter, as in the known file of `test_midi_file`.
TICKS = 480
DRUMS = 9

Heard = list[tuple[int, int, int]]


@st.composite
def blocks(draw: st.DrawFn) -> Block:
    fill = draw(fills(together=True))
    fill = replace(fill, ostinato=draw(st.none() | ostinatos(fill.bar.meter)))
    groove = draw(st.sampled_from(grooves_for(fill.bar.meter)))
    return Block(fill, groove, draw(st.sampled_from((1, *BLOCK_BARS))))


def expected(sounds: tuple[Sound, ...]) -> Heard:
    """(tick, key, velocity) of every sound, by the clock of the file."""
    return sorted(
        (round(sound.onset * TICKS), KEYS[sound.surface], VELOCITIES[sound.dynamic])
        for sound in sounds
    )


def heard_by_mido(file: bytes) -> Heard:
    tick, heard = 0, []
    read = mido.MidiFile(file=io.BytesIO(file))
    assert read.ticks_per_beat == TICKS
    for message in read.tracks[0]:
        tick += message.time
        if message.type == "note_on":
            assert message.channel == DRUMS
            heard.append((tick, message.note, message.velocity))
    return sorted(heard)


def heard_by_symusic(file: bytes) -> Heard:
    score = Score.from_midi(file)
    assert score.ticks_per_quarter == TICKS
    assert all(track.is_drum for track in score.tracks)
    return sorted(
        (note.time, note.pitch, note.velocity) for track in score.tracks for note in track.notes
    )


READERS = pytest.mark.parametrize("heard", [heard_by_mido, heard_by_symusic])


@READERS
@given(fill=fills(together=True))
def test_a_fill_is_heard_as_the_timeline_says(heard, fill):
    assert heard(midi(fill)) == expected(fill_timeline(fill))


@READERS
@pytest.mark.law
def test_fills_of_all_rules_are_heard_as_the_timeline_says(heard):
    for fill in fills_of_all_rules():
        assert heard(midi(fill)) == expected(fill_timeline(fill))


@READERS
@examples(60)
@given(block=blocks())
def test_a_block_is_heard_as_the_timeline_says(heard, block):
    assert heard(block_midi(block)) == expected(block.sounds)


@given(fills())
def test_every_sound_of_a_timeline_falls_on_a_tick_or_next_to_it(fill):
    """Strokes exactly; grace notes where room is short may fall between ticks."""
    for sound in fill_timeline(fill):
        off = abs(sound.onset * TICKS - round(sound.onset * TICKS))
        assert off == 0 if not sound.grace and sound.onset in _onsets(fill) else off <= 1 / 2


def _onsets(fill) -> set[Fraction]:
    return {note.onset for note in fill.bar.sounded}


@examples(60)
@given(blocks())
def test_no_key_is_pressed_while_it_is_down_and_all_are_up_at_the_end(block):
    down: set[int] = set()
    for message in mido.MidiFile(file=io.BytesIO(block_midi(block))).tracks[0]:
        if message.type == "note_on":
            assert message.note not in down
            down.add(message.note)
        elif message.type == "note_off":
            down.remove(message.note)
    assert not down


@examples(30)
@given(blocks(), st.integers(30, 240))
def test_a_block_lasts_its_bars_and_the_beat_of_the_landing(block, tempo):
    file = mido.MidiFile(file=io.BytesIO(block_midi(block, tempo)))
    quarters = block.bars * block.meter.length + block.meter.beats[0].length
    # The format keeps whole microseconds a quarter.
    assert file.length == pytest.approx(float(quarters) * 60 / tempo, rel=1e-5)


@examples(20)
@given(blocks())
def test_the_landing_is_the_last_thing_heard(block):
    end = round(block.bars * block.meter.length * TICKS)
    last = [key for tick, key, _ in heard_by_mido(block_midi(block)) if tick >= end]
    assert last == [KEYS["bass drum"], KEYS["crash"]]


def test_meters_of_blocks_are_in_the_file():
    meter = Meter.parse("7/8")
    groove = grooves_for(meter)[0]
    block = Block(snare_fill(Bar.from_counts("1 2 3 4 5 6 7", "7/8")), groove)
    signature = Score.from_midi(block_midi(block)).time_signatures[0]
    assert (signature.numerator, signature.denominator) == (7, 8)
