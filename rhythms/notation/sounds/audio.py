"""A timeline as an audio file, played on our own kit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from fractions import Fraction

import numpy as np

from rhythms.engine.playback.timeline import Sound
from rhythms.notation.sounds import CHOKES, PANS, RATE, SOUNDS_VERSION, Samples, samples, takes_of
from rhythms.notation.sounds.loudness import shaved
from rhythms.notation.sounds.mp3 import mp3

#: Changes whenever the same timeline would sound differently.
AUDIO_VERSION = f"audio-3 {SOUNDS_VERSION}"

#: How much louder than the kit's sounds, which leave room for a player's own levels.
GAIN = 10 ** (13 / 20)
#: Peaks are rounded off from here up to here, full scale being 1 (see `shaved`): so a block comes
#: to -20 LUFS, and between samples, and coded, to -1 dB at most.
KNEE, TOP = 0.4, 0.78

_KILOBITS, _EFFORT = 128, 5
#: A choked cymbal dies away within so many samples.
_CHOKE_FADE = round(0.02 * RATE)


def audio(timeline: Iterable[Sound], tempo: float) -> bytes:
    """The timeline as an MP3 file of two channels; ``tempo`` in quarters a minute.

    It lasts until the last sound has rung out. Raises ValueError for a tempo that is not
    above 0.
    """
    return mp3(mix(timeline, tempo), _KILOBITS, _EFFORT)


def mix(timeline: Iterable[Sound], tempo: float) -> Samples:
    """The samples of it, RATE a second: (samples, 2), left and right.

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
    together = np.zeros((max([RATE // 10, *ends]), 2))
    for sound, start, end, wave in zip(played, starts, ends, waves, strict=True):
        together[start:end] += np.outer(wave, sides(PANS.get(sound.surface, 0.0)))
    return np.stack([shaved(side, KNEE, TOP) for side in GAIN * together.T], axis=1)


def sides(place: float) -> Samples:
    """What comes from left and right of a sound that stands there, from -1 to 1: equal power.

    In the middle both are 1, as the page's player has it (Web Audio's StereoPannerNode, 3 dB up).
    """
    turn = (place + 1) * np.pi / 4
    return 2**0.5 * np.array([np.cos(turn), np.sin(turn)])


def _choked(played: Sequence[Sound], starts: Sequence[int]) -> list[Samples]:
    """The wave of each sound, ended where another chokes it; takes take turns."""
    struck: Counter[str] = Counter()
    waves = []
    for sound in played:
        take = struck[sound.surface] % takes_of(sound.surface)
        struck[sound.surface] += 1
        waves.append(samples(str(sound.surface), sound.dynamic, take))
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
