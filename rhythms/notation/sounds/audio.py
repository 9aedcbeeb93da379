"""A timeline as an audio file, played on our own kit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

import numpy as np

from rhythms.engine.playback.timeline import Sound
from rhythms.notation.sounds import CHOKES, RATE, SOUNDS_VERSION, Samples, samples
from rhythms.notation.sounds.mp3 import mp3

#: Changes whenever the same timeline would sound differently.
AUDIO_VERSION = f"audio-2 {SOUNDS_VERSION}"

#: The loudest sample, full scale being 1: 1 dB is left for what decoders add.
PEAK = 10 ** (-1 / 20)

_KILOBITS, _EFFORT = 96, 5
#: A choked cymbal dies away within so many samples.
_CHOKE_FADE = round(0.02 * RATE)


def audio(timeline: Iterable[Sound], tempo: float) -> bytes:
    """The timeline as an MP3 file of one channel; ``tempo`` in quarters a minute.

    It lasts until the last sound has rung out. Raises ValueError for a tempo that is not
    above 0.
    """
    return mp3(mix(timeline, tempo), _KILOBITS, _EFFORT)


def mix(timeline: Iterable[Sound], tempo: float) -> Samples:
    """The samples of it, RATE a second, as loud as they go (see PEAK).

    Each sound starts within half a sample of its onset; the first sample is at onset 0, or
    at the first grace note where that comes before.
    """
    if not tempo > 0:
        raise ValueError(f"A tempo of {tempo} is not a speed.")
    played = sorted(timeline, key=lambda sound: sound.onset)
    opening = min([Fraction(0), *(sound.onset for sound in played)])
    starts = [round(float((sound.onset - opening) * 60) * RATE / tempo) for sound in played]
    waves = _choked(played, starts)
    ends = [start + wave.size for start, wave in zip(starts, waves, strict=True)]
    together = np.zeros(max([RATE // 10, *ends]))
    for start, end, wave in zip(starts, ends, waves, strict=True):
        together[start:end] += wave
    loudest = np.max(np.abs(together))
    return together * (PEAK / loudest) if loudest else together


def _choked(played: Sequence[Sound], starts: Sequence[int]) -> list[Samples]:
    """The wave of each sound, ended where another chokes it."""
    waves = [samples(str(sound.surface), sound.dynamic) for sound in played]
    ringing: dict[str, int] = {}
    for index, sound in enumerate(played):
        for name in CHOKES.get(sound.surface, ()):
            # What is struck at the same time rings on.
            if name in ringing and starts[ringing[name]] < starts[index]:
                rung = ringing.pop(name)
                waves[rung] = _ended(waves[rung], starts[index] - starts[rung])
        ringing[str(sound.surface)] = index
    return waves


def _ended(wave: Samples, after: int) -> Samples:
    """The wave, faded out from ``after`` samples on."""
    kept = wave[: after + _CHOKE_FADE].copy()
    fading = kept[after:]
    fading *= np.linspace(1, 0, _CHOKE_FADE)[: fading.size]
    return kept
