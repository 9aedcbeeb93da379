"""What every sound is built from: decaying partials, shaped noise, a stick's touch."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

#: Mono; values in [-1, 1].
Samples = NDArray[np.float64]

#: Samples a second.
RATE = 44_100

#: From a decay time (to -60 dB, as rooms are measured) to the exponent's rate.
_TO_60_DB = math.log(1000)


@dataclass(frozen=True)
class Touch:
    """How hard a stroke is: ``force`` in (0, 1], ``level`` in dB against an accent.

    ``take`` numbers strokes that are as hard as each other, and still not the same.
    """

    force: float
    level: float
    take: int = 0

    def random(self, seed: int) -> np.random.Generator:
        """What differs from take to take; ``seed`` numbers what is struck."""
        return np.random.default_rng([seed, self.take])

    def cutoff(self, hardest: float) -> float:
        """Up to which frequency in Hz a stroke wakes partials; ``hardest``: for an accent.

        A harder stroke stays in contact for less time and so reaches higher (Fletcher and
        Rossing, The Physics of Musical Instruments); the exponent is our choice.
        """
        return float(hardest * self.force**0.55)


TOUCHES = {
    "ghost": Touch(force=0.2, level=-12.0),
    "normal": Touch(force=0.55, level=-4.0),
    "accent": Touch(force=1.0, level=0.0),
}


@dataclass(frozen=True)
class Partials:
    """Many decaying sines: Hz, linear amplitudes, seconds to -60 dB, radians; one shape."""

    frequencies: Samples
    amplitudes: Samples
    decays: Samples
    phases: Samples

    def samples(self, seconds: float) -> Samples:
        """Their sum. Time is split in two, so that the sines are one product of matrices."""
        count = length(seconds)
        block = math.ceil(math.sqrt(count))
        rates = -_TO_60_DB / self.decays + 2j * np.pi * self.frequencies
        starts = np.exp(np.outer(np.arange(math.ceil(count / block)) * block / RATE, rates))
        inner = np.exp(np.outer(rates, np.arange(block) / RATE))
        first = (starts * self.amplitudes * np.exp(1j * self.phases)).astype(np.complex64)
        wave: Samples = (first @ inner.astype(np.complex64)).imag.astype(np.float64)
        return wave.ravel()[:count]


def length(seconds: float) -> int:
    """Samples in so many seconds."""
    return round(seconds * RATE)


def time(seconds: float) -> Samples:
    """The time of each sample, in seconds."""
    return np.arange(length(seconds)) / RATE


def fall(seconds: float, decay: float) -> Samples:
    """1, falling by 60 dB in ``decay`` seconds."""
    return np.exp(-_TO_60_DB * time(seconds) / decay)


def rise(wave: Samples, seconds: float) -> Samples:
    """The same, coming in within so many seconds instead of at once."""
    ramp = 0.5 - 0.5 * np.cos(np.pi * np.arange(length(seconds)) / length(seconds))
    return np.concatenate([wave[: ramp.size] * ramp, wave[ramp.size :]])


def noise(seconds: float, low: float, high: float, random: np.random.Generator) -> Samples:
    """White noise between two frequencies in Hz, with soft slopes; RMS 1."""
    white = random.standard_normal(length(seconds))
    frequencies = np.fft.rfftfreq(white.size, 1 / RATE)
    frequencies[0] = 1  # not to divide by 0; what is there goes out below
    slopes = 1 / np.sqrt((1 + (low / frequencies) ** 4) * (1 + (frequencies / high) ** 4))
    slopes[0] = 0
    shaped: Samples = np.fft.irfft(np.fft.rfft(white) * slopes, white.size)
    return shaped / float(np.sqrt(np.mean(shaped**2)))


def burst(
    seconds: float, low: float, high: float, decay: float, random: np.random.Generator
) -> Samples:
    """Noise that falls by 60 dB in ``decay`` seconds: a stick's tip, snare wires."""
    return noise(seconds, low, high, random) * fall(seconds, decay)


def mixed(*waves: Samples) -> Samples:
    """Waves that start together, as long as the longest."""
    together = np.zeros(max(wave.size for wave in waves))
    for wave in waves:
        together[: wave.size] += wave
    return together
