"""Measuring sounds: an MP3 decoded by another library, its spectrum, its attack, its decay."""

import io
from functools import cache

import numpy as np
import soundfile

from rhythms.notation.sounds import OFFSET, encoded

RATE = 44_100


def decoded(file: bytes, channels: int = 1) -> np.ndarray:
    """An MP3 file's samples, decoded by libsndfile: (samples,), or (samples, channels)."""
    wave, rate = soundfile.read(io.BytesIO(file), always_2d=True)
    assert rate == RATE
    assert wave.shape[1] == channels
    return wave[:, 0] if channels == 1 else wave


@cache
def heard(name: str, dynamic: str = "accent", take: int = 0) -> np.ndarray:
    """A sound of the kit as a player decodes it, from its attack on."""
    wave = decoded(encoded(name, dynamic, take))[round(OFFSET * RATE) :]
    wave.flags.writeable = False
    return wave


def spectrum(wave: np.ndarray, size: int = 2**17) -> tuple[np.ndarray, np.ndarray]:
    """Frequencies in Hz, and the magnitude at each."""
    windowed = wave * np.hanning(wave.size)
    return np.fft.rfftfreq(size, 1 / RATE), np.abs(np.fft.rfft(windowed, size))


def centroid(wave: np.ndarray) -> float:
    """The mean frequency of its first 100 ms in Hz, weighted with power: how bright it is."""
    power = np.abs(np.fft.rfft(wave[: RATE // 10])) ** 2
    frequencies = np.fft.rfftfreq(min(wave.size, RATE // 10), 1 / RATE)
    return float(np.sum(frequencies * power) / np.sum(power))


def peaks(wave: np.ndarray, floor: float = 50.0) -> np.ndarray:
    """The frequencies of local maxima down to so many dB under the highest."""
    frequencies, magnitudes = spectrum(wave)
    inner = magnitudes[1:-1]
    tops = (inner > magnitudes[:-2]) & (inner > magnitudes[2:])
    tops &= inner > magnitudes.max() * 10 ** (-floor / 20)
    return frequencies[1:-1][tops]


def strongest(wave: np.ndarray) -> float:
    """The frequency of the highest peak in Hz."""
    frequencies, magnitudes = spectrum(wave)
    return float(frequencies[np.argmax(magnitudes)])


def decay(wave: np.ndarray, by: float = 40.0) -> float:
    """Seconds until it has fallen by so many dB: backward integration, as in ISO 3382-1."""
    left = np.cumsum(wave[::-1] ** 2)[::-1]
    return float(np.argmax(left < left[0] * 10 ** (-by / 10)) / RATE)


def level(wave: np.ndarray) -> float:
    """dB of its first 100 ms against a full-scale constant."""
    start = np.zeros(RATE // 10)
    start[: min(wave.size, start.size)] = wave[: start.size]
    return float(10 * np.log10(np.mean(start**2)))


def attack(wave: np.ndarray) -> int:
    """The first sample that reaches a tenth of the peak."""
    return int(np.argmax(np.abs(wave) > np.max(np.abs(wave)) / 10))
