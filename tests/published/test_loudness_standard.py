"""The loudness meter against the check signals of its standards.

ITU-R BS.1770-4: 997 Hz at full scale in one channel is -3.01 LKFS. EBU Tech 3341 (2016), table 1:
stereo sines of 1000 Hz, within 0.1 LU; true peaks within +0.2 and -0.4 dB.
"""

import numpy as np
import pytest

from rhythms.notation.sounds.loudness import programme_loudness, shaved, true_peak
from rhythms.notation.sounds.waves import RATE


def sine(seconds: float, decibels: float, frequency: float = 1000, phase: float = 0) -> np.ndarray:
    now = np.arange(round(seconds * RATE)) / RATE
    return 10 ** (decibels / 20) * np.sin(2 * np.pi * frequency * now + np.radians(phase))


def stereo(*parts: tuple[float, float]) -> np.ndarray:
    """Parts of so many seconds at so many dB of full scale, the same on both sides."""
    wave = np.concatenate([sine(seconds, decibels) for seconds, decibels in parts])
    return np.stack([wave, wave], axis=1)


def test_a_sine_of_997_hz_at_full_scale_in_one_channel():
    assert programme_loudness(sine(5, 0, 997)) == pytest.approx(-3.01, abs=0.02)


@pytest.mark.parametrize(
    ("parts", "lufs"),
    [
        ([(20, -23)], -23.0),
        ([(20, -33)], -33.0),
        ([(10, -36), (60, -23), (10, -36)], -23.0),
        ([(10, -72), (10, -36), (60, -23), (10, -36), (10, -72)], -23.0),
        ([(20, -26), (20.1, -20), (20, -26)], -23.0),
    ],
    ids=["1", "2", "3", "4", "5"],
)
def test_the_cases_of_programme_loudness(parts, lufs):
    assert programme_loudness(stereo(*parts)) == pytest.approx(lufs, abs=0.1)


@pytest.mark.parametrize(
    ("share", "phase", "decibels", "peak"),
    [(4, 0, -6.02, -6.0), (4, 45, -6.02, -6.0), (6, 60, -6.02, -6.0), (8, 67.5, -6.02, -6.0)],
    ids=["15", "16", "17", "18"],
)
def test_the_cases_of_true_peaks(share, phase, decibels, peak):
    found = true_peak(sine(1, decibels, RATE / share, phase) * np.hanning(RATE) ** 0.1)
    assert peak - 0.4 <= found <= peak + 0.2


def test_silence_has_no_loudness():
    assert programme_loudness(np.zeros(RATE)) == -np.inf


def test_what_is_shaved_stays_under_its_top_between_samples_too():
    loud = sine(1, 0, 300) * np.hanning(RATE)
    assert true_peak(shaved(loud, 0.25, 0.5)) < 20 * np.log10(0.5) + 0.3


def test_what_is_soft_is_not_shaved():
    soft = sine(1, -20) * np.hanning(RATE)
    assert shaved(soft, 0.15, 0.5) == pytest.approx(soft, abs=1e-9)
