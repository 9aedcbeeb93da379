"""What is left of a sound on a phone's loudspeaker."""

from __future__ import annotations

import numpy as np

from rhythms.notation.sounds import RATE, Samples
from rhythms.notation.sounds.loudness import loudness

#: Under the first frequency in Hz it falls by 24 dB an octave, over the second as well.
_LOW, _HIGH, _STEEP = 275.0, 12_000.0, 8
#: What is louder than this, as RMS of 10 ms against full scale, is brought half as far over it.
_THRESHOLD, _RATIO, _WINDOW = 10 ** (-24 / 20), 2.0, 0.01


def on_phone(wave: Samples) -> Samples:
    """One channel through a small loudspeaker and its limiter of 2:1."""
    size = 2 * wave.size
    frequencies = np.maximum(np.fft.rfftfreq(size, 1 / RATE), 1)
    gain = 1 / np.sqrt((1 + (_LOW / frequencies) ** _STEEP) * (1 + (frequencies / _HIGH) ** _STEEP))
    heard = np.fft.irfft(np.fft.rfft(wave, size) * gain, size)[: wave.size]
    window = round(_WINDOW * RATE)
    sums = np.cumsum(np.concatenate([np.zeros(window), heard**2]))
    level = np.sqrt(np.maximum(sums[window:] - sums[:-window], 0) / window)
    over = np.maximum(level / _THRESHOLD, 1)
    limited: Samples = heard * over ** (1 / _RATIO - 1)
    return limited


def loudness_on_phone(wave: Samples) -> float:
    """dB, as `loudness` has it."""
    return loudness(on_phone(wave))
