"""A plucked bass and plain keys for what is played with a groove, each at a few pitches.

Pages play the pitches between them faster or slower: at most three semitones (2 ** (n / 12)).
"""

from __future__ import annotations

import numpy as np

from rhythms.notation.sounds.waves import RATE, Partials, Samples, rise

#: MIDI pitches at which each is made (69 is 440 Hz: MIDI Tuning Standard).
BASS_PITCHES = (31, 37, 43)
KEYS_PITCHES = (56, 62, 68, 74)

_LASTING = 1.6


def frequency(pitch: float) -> float:
    """Hz of a MIDI pitch in equal temperament: 69 is A of 440 Hz (MIDI Tuning Standard)."""
    return float(440.0 * 2.0 ** ((pitch - 69) / 12))


def bass(pitch: int) -> Samples:
    """A string plucked a fifth from its end: harmonic n as sin(n pi / 5) / n^2 (Fletcher and
    Rossing, The Physics of Musical Instruments); higher ones die away sooner.

    Less steep here, so that a small loudspeaker gives it by its overtones.
    """
    numbers = np.arange(1.0, 25.0)
    heights: Samples = np.abs(np.sin(np.pi * numbers / 5)) / numbers**1.2
    decays = 1.9 / (1 + 0.16 * numbers)
    return rise(_harmonics(pitch, numbers, heights, decays), 0.004)


def keys(pitch: int) -> Samples:
    """Soft and even: few harmonics, a second voice a little sharp, so that it does not stand."""
    numbers = np.arange(1.0, 9.0)
    heights = np.array([1.0, 0.45, 0.2, 0.12, 0.05, 0.04, 0.02, 0.015])
    decays = np.full(numbers.size, 3.2) / (1 + 0.25 * numbers)
    first, second = (_harmonics(pitch + cents / 100, numbers, heights, decays) for cents in (-3, 4))
    return rise(first + second, 0.012)


def _harmonics(pitch: float, numbers: Samples, heights: Samples, decays: Samples) -> Samples:
    """Those that lie under half the rate; none in phase with another, or it would click."""
    frequencies = numbers * frequency(pitch)
    kept = frequencies < RATE / 2
    phases = np.pi * (numbers * (numbers - 1) / numbers.size)
    partials = Partials(frequencies[kept], heights[kept], decays[kept], phases[kept])
    return partials.samples(_LASTING)
