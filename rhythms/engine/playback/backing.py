"""Bass and chords to a block's groove, so that a fill lands in music: plain, and made by rule.

A chord for each bar, from a plain progression that leads home: the last bars stand on the fifth or
the seventh step, and the *one* after the fill on the first. The bass goes with the bass drum, on
roots and fifths, the keys sound on plain places, and under the fill both hold what they have.
Pitches are MIDI's (69 is A of 440 Hz); onsets and lengths are quarters, as written.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple
from zlib import crc32

from rhythms.engine.bars.feel import EIGHTHS
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.playback.groove import Groove
from rhythms.engine.playback.timeline import Block

#: What a bass of four strings has, up to its fifth fret on the highest; two octaves of keys.
BASS_RANGE = (28, 48)
KEYS_RANGE = (54, 76)

ROOT, FIFTH = 0, 1
_OCTAVE = 12
_MAJOR = (0, 2, 4, 5, 7, 9, 11)
_MINOR = (0, 2, 3, 5, 7, 8, 10)
#: Steps of the scale from 0, a bar each, over and over: common practice of four bars. The last one
#: of each wants to go home.
_PROGRESSIONS = (
    (_MAJOR, (0, 5, 3, 4)),
    (_MAJOR, (0, 3, 0, 4)),
    (_MINOR, (0, 5, 2, 6)),
)
#: C, D, E, F, G, A, by their place in the octave.
_KEYS = (0, 2, 4, 5, 7, 9)
#: The closest that the bass goes with the bass drum, in quarters.
_CLOSEST = Fraction(1, 2)
#: The longest that it holds a note where the groove goes on.
_LONGEST = Fraction(1)
_SWUNG_ANSWER = Fraction(3, 2)


class Chord(NamedTuple):
    """``bass`` its root and fifth, ``keys`` its three tones close together."""

    bass: tuple[int, int]
    keys: tuple[int, ...]


class BackingNote(NamedTuple):
    """``onset`` from its bar line; ``step``: ROOT or FIFTH of the bar's chord, for the bass."""

    onset: Fraction
    length: Fraction
    step: int = ROOT


class Tone(NamedTuple):
    """``part``: "bass" or "keys"; ``onset`` from the block's start."""

    part: str
    onset: Fraction
    length: Fraction
    pitch: int


@dataclass(frozen=True)
class Backing:
    """Of a block; the same block always has the same."""

    block: Block

    @property
    def chords(self) -> tuple[Chord, ...]:
        """One for each bar, and the one to land on."""
        block = self.block
        kind = crc32(f"{block.groove.name} {block.meter} {block.fill.bar.counts()}".encode())
        scale, steps = _PROGRESSIONS[kind % len(_PROGRESSIONS)]
        key = _KEYS[kind // len(_PROGRESSIONS) % len(_KEYS)]
        # The last of the steps stands under the last bar, however many there are.
        first = -block.bars % len(steps)
        numbers = [steps[(first + bar) % len(steps)] for bar in range(block.bars)]
        if block.bars > 1:
            numbers[0] = 0
        return tuple(_chord(key, scale, step) for step in (*numbers, 0))

    @property
    def keys(self) -> tuple[BackingNote, ...]:
        """In every bar: on the one, and answered in its middle or, where it swings, before."""
        meter, length = self.block.meter, self.block.meter.length
        feel = self.block.feel.in_meter(meter)
        if not feel.is_straight and feel.unit == EIGHTHS and length > 2:
            answer = _SWUNG_ANSWER
        else:
            beats = [beat.onset for beat in meter.beats]
            answer = beats[len(beats) // 2]
        places = (Fraction(0), answer) if answer else (Fraction(0),)
        return tuple(_lasting(places, length, length))

    def bass(self, groove: Groove) -> tuple[tuple[BackingNote, ...], ...]:
        """In each bar of a groove: with its bass drum, the last one away from the one a fifth."""
        return tuple(self._bass_bar(groove, bar) for bar in range(groove.meter.bars))

    def _bass_bar(self, groove: Groove, bar: int) -> tuple[BackingNote, ...]:
        played = groove.on(self.block.surfaces).in_bar(bar)
        drum = sorted({hit.onset for hit in played if hit.surface is Surface.BASS_DRUM})
        places = [Fraction(0)]
        for onset in drum:
            if onset - places[-1] >= _CLOSEST:
                places.append(onset)
        notes = list(_lasting(places, self.block.meter.length, _LONGEST))
        if len(notes) > 1:
            notes[-1] = notes[-1]._replace(step=FIFTH)
        return tuple(notes)

    @property
    def tones(self) -> tuple[Tone, ...]:
        """All that sounds with the block's own groove, once, and what it lands on."""
        tones = (tone for bar in range(self.block.bars + 1) for tone in self._bar(bar))
        return tuple(sorted(tones, key=lambda tone: (tone.onset, tone.part, tone.pitch)))

    def _bar(self, bar: int) -> Iterator[Tone]:
        start, chord = bar * self.block.meter.length, self.chords[bar]
        patterns = self.bass(self.block.groove)
        for note in self._under(patterns[bar % len(patterns)], bar):
            yield Tone("bass", start + note.onset, note.length, chord.bass[note.step])
        for note in self._under(self.keys, bar):
            for pitch in chord.keys:
                yield Tone("keys", start + note.onset, note.length, pitch)

    def _under(self, pattern: Sequence[BackingNote], bar: int) -> tuple[BackingNote, ...]:
        """The pattern where groove goes on throughout, else held: the last through the fill."""
        played = [note for note in pattern if self._is_groove(bar, note.onset)]
        if len(played) == len(pattern):
            return tuple(pattern)
        steps = {note.onset: note.step for note in played}
        places = sorted({Fraction(0), *steps})
        length = self.block.meter.length
        return tuple(
            note._replace(step=steps.get(note.onset, ROOT))
            for note in _lasting(places, length, length)
        )

    def _is_groove(self, bar: int, onset: Fraction) -> bool:
        block = self.block
        if bar == block.bars:
            return False
        at = (bar - block.bars + block.fill_bars) * block.meter.length + onset
        spans = block.fill.bar.groove_spans
        return at < 0 or any(start <= at < end for start, end in spans)


def _lasting(places: Sequence[Fraction], bar: Fraction, longest: Fraction) -> Iterator[BackingNote]:
    """A note at each place, up to the next one or the bar's end, and no longer than that."""
    for place, end in zip(places, (*places[1:], bar), strict=True):
        yield BackingNote(place, min(end - place, longest))


def _chord(key: int, scale: Sequence[int], step: int) -> Chord:
    root, third, fifth = (_pitch(key, scale, step + away) for away in (0, 2, 4))
    low = _at_least(BASS_RANGE[0], root)
    keys = sorted(_at_least(KEYS_RANGE[0], tone) for tone in (root, third, fifth))
    return Chord((low, low + (fifth - root)), tuple(keys))


def _pitch(key: int, scale: Sequence[int], step: int) -> int:
    """Of a step of the scale, counted on over octaves."""
    octaves, place = divmod(step, len(scale))
    return key + scale[place] + _OCTAVE * octaves


def _at_least(lowest: int, pitch: int) -> int:
    """The same note in the first octave from ``lowest`` on."""
    return lowest + (pitch - lowest) % _OCTAVE
