"""How loud a sound is to the ear, so that no surface drowns another."""

from __future__ import annotations

import numpy as np

from rhythms.notation.sounds.waves import RATE, Samples, length

#: K-weighting: two filters, each b0 b1 b2 / 1 a1 a2 at 48 kHz (ITU-R BS.1770-4, tables 1 and 2).
_FILTERS = (
    (
        (1.53512485958697, -2.69169618940638, 1.19839281085285),
        (-1.69065929318241, 0.73248077421585),
    ),
    ((1.0, -2.0, 1.0), (-1.99004745483398, 0.99007225036621)),
)
_THEIR_RATE = 48_000
_WINDOW = 0.1


def loudness(wave: Samples) -> float:
    """dB of the K-weighted power of its loudest 100 ms, a full-scale square wave at 0 or so."""
    padded = np.concatenate([wave, np.zeros(length(1.0))])
    weighted = np.fft.irfft(np.fft.rfft(padded) * _weights(padded.size), padded.size)
    window = length(_WINDOW)
    sums = np.concatenate([[0.0], np.cumsum(weighted**2)])
    loudest = np.max(sums[window:] - sums[:-window]) / window
    return float(10 * np.log10(loudest))


def _weights(count: int) -> Samples:
    """The filters' gain at each frequency of a real Fourier transform over ``count`` samples."""
    frequencies = np.fft.rfftfreq(count, 1 / RATE)
    z = np.exp(-2j * np.pi * frequencies / _THEIR_RATE)
    gain = np.ones_like(frequencies)
    for (b0, b1, b2), (a1, a2) in _FILTERS:
        gain *= np.abs((b0 + b1 * z + b2 * z**2) / (1 + a1 * z + a2 * z**2))
    return gain
