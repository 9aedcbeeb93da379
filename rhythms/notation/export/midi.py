"""A fill, or its block, as a Standard MIDI File for any drum sound that follows General MIDI."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import groupby, pairwise
from operator import attrgetter
from typing import NamedTuple

from rhythms.engine import Fill, Meter
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.playback.timeline import Block, Sound, fill_timeline
from rhythms.notation.count_line_text import count_line_text
from rhythms.notation.export import smf
from rhythms.notation.feel_text import feel_text
from rhythms.notation.staff_placement import PLACEMENTS

#: Changes whenever the same fill would be written differently.
MIDI_VERSION = "midi-4"

#: Every position of a bar is a whole number of them: fifths of a quarter (96), and down to
#: triplets of 32nds (40).
TICKS_PER_QUARTER = 480
GHOST_VELOCITY, NORMAL_VELOCITY, ACCENT_VELOCITY = 40, 100, 120

_VELOCITIES = {
    "ghost": GHOST_VELOCITY,
    "normal": NORMAL_VELOCITY,
    "accent": ACCENT_VELOCITY,
}
#: Drums do not hear how a key is let go; 64 is the standard's default.
_RELEASE_VELOCITY = 64
#: The longest a key is held, in ticks; less where the next stroke comes sooner.
_LONGEST_GATE = 60
_CLOCKS_PER_QUARTER = 24


class MidiNote(NamedTuple):
    """One sound: grace notes and both strokes of a diddle count singly."""

    tick: int
    key: int
    velocity: int


def midi(fill: Fill, tempo: int = 100, feel: Feel = STRAIGHT) -> bytes:
    """The fill as a file of one track; ``tempo`` in quarters a minute.

    Raises ValueError for a tempo that the format cannot hold (under 4).
    """
    opening = [*_opening(fill.bar.meter, tempo), *_words(fill, feel, 0)]
    return _file(opening, hits(fill_timeline(fill, feel=feel)), fill.bar.meter.length)


def block_midi(block: Block, tempo: int = 100) -> bytes:
    """The whole block as a file of one track, up to the beat after it with the landing.

    ``tempo`` in quarters a minute. Raises ValueError for one that the format cannot hold.
    """
    opening = [
        *_opening(block.meter, tempo),
        *_words(block.fill, block.feel, _ticks(block.fill_onset)),
    ]
    length = block.length + block.meter.beats[0].length
    return _file(opening, hits(block.sounds), length)


def _file(opening: list[smf.MidiEvent], played: list[MidiNote], length: Fraction) -> bytes:
    end = _ticks(length)
    events = sorted([*opening, *_sounds(played, end)], key=attrgetter("tick"))
    return smf.smf(events, TICKS_PER_QUARTER, end)


def _opening(meter: Meter, tempo: int) -> Iterator[smf.MidiEvent]:
    """Raises ValueError for a tempo that the format cannot hold."""
    yield smf.MidiEvent(0, smf.tempo(tempo))
    yield smf.MidiEvent(0, _time_signature(meter))


def _words(fill: Fill, feel: Feel, tick: int) -> Iterator[smf.MidiEvent]:
    """The feel, and where the fill's bar starts its count line: a MIDI file holds no rests."""
    heard = feel.in_meter(fill.bar.meter)
    if words := feel_text(heard):
        yield smf.MidiEvent(0, smf.text(words))
    if words := count_line_text(fill.bar, moved=not heard.is_straight):
        yield smf.MidiEvent(tick, smf.text(words))


def hits(sounds: Iterable[Sound]) -> list[MidiNote]:
    """A timeline on its ticks, keys and velocities, in the timeline's order."""
    return [
        MidiNote(
            _ticks(sound.onset),
            PLACEMENTS[sound.surface].key,
            _VELOCITIES[sound.dynamic],
        )
        for sound in sounds
    ]


def _sounds(played: list[MidiNote], end: int) -> Iterator[smf.MidiEvent]:
    """Every key pressed on its tick, and let go before the next tick at which one is pressed."""
    chords = [(tick, list(hits)) for tick, hits in groupby(played, key=attrgetter("tick"))]
    for (tick, together), (then, _) in pairwise([*chords, (end, [])]):
        gate = min(_LONGEST_GATE, (then - tick) // 2)
        for hit in together:
            yield smf.MidiEvent(tick, smf.note_on(smf.DRUM_CHANNEL, hit.key, hit.velocity))
        for hit in together:
            yield smf.MidiEvent(
                tick + gate, smf.note_off(smf.DRUM_CHANNEL, hit.key, _RELEASE_VELOCITY)
            )


def _time_signature(meter: Meter) -> bytes:
    """The metronome clicks the beats, or the eighths where beats differ in length."""
    lengths = {beat.length for beat in meter.beats}
    click = lengths.pop() if len(lengths) == 1 else Fraction(4, meter.unit)
    return smf.time_signature(meter.count, meter.unit, round(click * _CLOCKS_PER_QUARTER))


def _ticks(quarters: Fraction) -> int:
    return round(quarters * TICKS_PER_QUARTER)
