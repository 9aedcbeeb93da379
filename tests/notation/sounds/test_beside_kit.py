"""Words and tones beside the kit, measured: pitches against the MIDI Tuning Standard, vowels
against formants that were measured on speakers."""

import numpy as np
import pytest

from rhythms.notation.sounds.beside_kit import BESIDE, beside_samples, lead_of
from rhythms.notation.sounds.pitched import frequency
from rhythms.notation.sounds.spoken import WORDS, spoken
from rhythms.notation.sounds.waves import RATE

TONES = [(name, pitch) for name in ("bass", "keys") for pitch in BESIDE[name]]
#: First and second formant of men's vowels in Hz: Peterson and Barney, 1952, table II, the means.
FORMANTS = {"three": (270, 2290), "six": (390, 1990), "ten": (530, 1840)}


@pytest.mark.parametrize(("pitch", "hertz"), [(69, 440.0), (60, 261.6256), (28, 41.20344)])
def test_pitches_are_those_of_the_midi_tuning_standard(pitch, hertz):
    assert frequency(pitch) == pytest.approx(hertz, rel=1e-6)


@pytest.mark.parametrize(("name", "pitch"), TONES)
def test_a_tone_has_its_pitch(name, pitch):
    """The strongest period of its first half second, by autocorrelation, within 10 cents."""
    wave = beside_samples(name, pitch)[: RATE // 2]
    spectrum = np.abs(np.fft.rfft(wave, 4 * wave.size)) ** 2
    likeness = np.fft.irfft(spectrum)
    around = RATE / frequency(int(pitch))
    lags = np.arange(int(around / 1.3), int(around * 1.3))
    best = lags[np.argmax(likeness[lags])]
    left, middle, right = likeness[best - 1 : best + 2]
    period = best + 0.5 * (left - right) / (left - 2 * middle + right)
    assert abs(1200 * np.log2(around / period)) < 10


@pytest.mark.parametrize("word", WORDS)
def test_a_word_is_voiced_from_its_vowel_on_and_hardly_before(word):
    """Between 90 and 1,000 Hz, where vowels are strong, and s, t, f are not."""
    wave, lead = spoken(word)
    assert 0 <= lead < 0.2
    vowel = round(lead * RATE)
    assert voiced(wave[vowel : vowel + RATE // 10]) > 0.03
    assert 0.2 < wave.size / RATE < 0.5


@pytest.mark.parametrize("word", ["two", "six", "seven", "ten"])
def test_what_comes_before_the_vowel_is_the_consonant(word):
    wave, lead = spoken(word)
    vowel = round(lead * RATE)
    after = voiced(wave[vowel + RATE // 100 : vowel + RATE // 20])
    assert voiced(wave[: max(1, vowel - RATE // 100)]) < after / 3


@pytest.mark.parametrize("word", FORMANTS)
def test_a_vowel_has_the_formants_of_a_speaker(word):
    """The two strongest places of its smoothed spectrum in the vowel's own regions."""
    wave, lead = spoken(word)
    start = round((lead + 0.04) * RATE)
    found = formants(wave[start : start + RATE // 16])
    for measured, published in zip(found, FORMANTS[word], strict=True):
        assert measured == pytest.approx(published, rel=0.35)


def test_words_have_a_lead_and_tones_none():
    assert lead_of("say three") > 0.05
    assert lead_of("bass") == 0


def voiced(wave: np.ndarray) -> float:
    """RMS between 90 and 1,000 Hz."""
    spectrum = np.fft.rfft(wave)
    hertz = np.fft.rfftfreq(wave.size, 1 / RATE)
    spectrum[(hertz < 90) | (hertz > 1_000)] = 0
    return float(np.sqrt(np.mean(np.fft.irfft(spectrum, wave.size) ** 2)))


def formants(wave: np.ndarray, poles: int = 12) -> list[float]:
    """The first two resonances of linear prediction (autocorrelation) at a fifth of the rate."""
    spectrum = np.fft.rfft(wave * np.hamming(wave.size))
    count = wave.size // 5
    low = np.fft.irfft(spectrum[: count // 2 + 1], count)
    low = np.append(low[0], low[1:] - 0.95 * low[:-1])
    likeness = np.correlate(low, low, "full")[count - 1 : count + poles]
    matrix = np.array([[likeness[abs(i - j)] for j in range(poles)] for i in range(poles)])
    weights = np.linalg.solve(matrix + 1e-9 * np.eye(poles), likeness[1:])
    roots = np.roots(np.append(1, -weights))
    roots = roots[(roots.imag > 0) & (np.abs(roots) > 0.85)]
    hertz = np.sort(np.angle(roots) * RATE / 5 / (2 * np.pi))
    return [float(one) for one in hertz[hertz > 150][:2]]
