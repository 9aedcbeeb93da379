"""How far a drum's sound is from recorded ones: levels by octave, noise, decay, attack.

A sound is one channel at RATE, from its attack on. `recorded_drums` has what it is held against.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rhythms.notation.sounds import RATE, Samples

#: Middles of the octaves in Hz; the last goes up to 20 kHz. Stretches in seconds.
OCTAVES = (63, 125, 250, 500, 1000, 2000, 4000, 8000, 14_000)
STRETCHES = ((0.0, 0.02), (0.06, 0.16), (0.4, 1.0))
#: dB under the loudest cell: from where one counts, and where what is under it is nothing.
_COUNTS, NOTHING = -50.0, -60.0
#: Levels are compared up to so many dB louder or softer as a whole.
_FREE = 6.0
_EDGES = np.array([*(63 * 2 ** (k - 0.5) for k in range(9)), 20_000])
#: Bins that stand so many dB over their neighbours' median are tones, the others noise.
_STANDS_OUT = 10.0


def cells(wave: Samples) -> Samples:
    """The power in each octave of each stretch: 3 rows of 9, in dB under the loudest."""
    rows = []
    for start, stop in STRETCHES:
        heard = _stretch(wave, start, stop) * _soft_edges(start, stop)
        power = np.abs(np.fft.rfft(heard, 2**15)) ** 2 / heard.size
        octave = np.searchsorted(_EDGES, np.fft.rfftfreq(2**15, 1 / RATE), side="right") - 1
        rows.append([power[octave == each].sum() for each in range(len(OCTAVES))])
    level = 10 * np.log10(np.array(rows) + 1e-30)
    relative: Samples = np.maximum(level - level.max(), -99.0)
    return relative


def gap(one: Samples, other: Samples) -> float:
    """The RMS difference in dB over the cells that count in either, their level free."""
    heard = (one > _COUNTS) | (other > _COUNTS)
    ours, theirs = (np.clip(each[heard], NOTHING, 0) for each in (one, other))
    shifts = np.linspace(-_FREE, _FREE, 49)
    return float(min(np.sqrt(np.mean((ours + shift - theirs) ** 2)) for shift in shifts))


def difference(one: Samples, other: Samples) -> float:
    """The RMS difference in dB of two strokes in 40 ERB bands by 8 stretches, 50 dB down.

    Bands as wide as the ear's (Glasberg and Moore 1990), from 50 Hz to 16 kHz; stretches of 0-10,
    10-20, 20-40 … 640-1280 ms; each cell weighs what the louder one stands over the floor.
    """
    first, second = (_ear_cells(wave) for wave in (one, other))
    weight = np.maximum(first, second) + 50
    return float(np.sqrt(np.sum(weight * (first - second) ** 2) / np.sum(weight)))


def noise_to_tone(wave: Samples) -> float:
    """dB of what is noise against what is tones, from 10 to 380 ms and from 200 Hz to 10 kHz.

    A bin of the spectrum is a tone where it stands 10 dB over the median of the sixth of an octave
    on either side. White noise gives about 20, a few partials -20.
    """
    heard = _stretch(wave, 0.01, 0.01 + 2**14 / RATE)
    power = np.abs(np.fft.rfft(heard * np.hanning(heard.size))) ** 2
    frequencies = np.fft.rfftfreq(heard.size, 1 / RATE)
    first, last = np.searchsorted(frequencies, (200, 10_000))
    width = 2 ** (1 / 6)
    tones = 0.0
    for at in range(first, last):
        near = power[int(at / width) : int(at * width) + 2]
        if power[at] > 10 ** (_STANDS_OUT / 10) * np.median(near):
            tones += power[at]
    everything = power[first:last].sum()
    return float(10 * np.log10((everything - tones + 1e-12) / (tones + 1e-12 * everything + 1e-12)))


def seconds_to_die(wave: Samples, octave: float) -> float:
    """Seconds to -60 dB in an octave, from the slope between -5 and -25 (T20, ISO 3382-1)."""
    spectrum = np.fft.rfft(wave, 2 * wave.size)
    frequencies = np.fft.rfftfreq(2 * wave.size, 1 / RATE)
    spectrum[(frequencies < octave / 2**0.5) | (frequencies > octave * 2**0.5)] = 0
    left = np.cumsum(np.fft.irfft(spectrum)[: wave.size][::-1] ** 2)[::-1]
    level = 10 * np.log10(left / left[0] + 1e-12)
    five, twentyfive = (int(np.argmax(level < under)) for under in (-5, -25))
    return 3 * (twentyfive - five) / RATE


def attack_time(wave: Samples) -> float:
    """Milliseconds from a tenth to nine tenths of the greatest height of its envelope.

    The envelope is the RMS of 1 ms.
    """
    window = RATE // 1000
    padded = np.concatenate([np.zeros(window), wave[: RATE // 5]])
    sums = np.cumsum(padded**2)
    envelope = np.sqrt(sums[window:] - sums[:-window])
    top = envelope.max()
    tenth, ninety = (int(np.argmax(envelope >= part * top)) for part in (0.1, 0.9))
    return 1000 * (ninety - tenth) / RATE


def centroid(wave: Samples) -> float:
    """The mean frequency from 10 to 50 ms in Hz, weighted with power."""
    heard = _stretch(wave, 0.01, 0.05)
    power = np.abs(np.fft.rfft(heard * np.hanning(heard.size))) ** 2
    return float(np.sum(np.fft.rfftfreq(heard.size, 1 / RATE) * power) / np.sum(power))


@dataclass(frozen=True)
class SoundFigures:
    """What is measured of one sound besides its levels: dB, seconds, milliseconds, Hz."""

    noise: float
    low_decay: float
    high_decay: float
    attack: float
    centroid: float


def figures(wave: Samples) -> SoundFigures:
    """Everything besides levels."""
    return SoundFigures(
        noise_to_tone(wave),
        seconds_to_die(wave, 500),
        seconds_to_die(wave, 8000),
        attack_time(wave),
        centroid(wave),
    )


def _stretch(wave: Samples, start: float, stop: float) -> Samples:
    """That part of it, with silence where it is over."""
    heard = wave[round(start * RATE) : round(stop * RATE)]
    return np.pad(heard, (0, round(stop * RATE) - round(start * RATE) - heard.size))


def _soft_edges(start: float, stop: float) -> Samples:
    """A window whose edges take 2 ms, but for the attack: a low tone cut off sounds everywhere."""
    edge = np.hanning(2 * round(0.002 * RATE) + 1)[: round(0.002 * RATE)]
    window = np.ones(round(stop * RATE) - round(start * RATE))
    window[-edge.size :] = edge[::-1]
    if start:
        window[: edge.size] = edge
    return window


def _ear_cells(wave: Samples) -> Samples:
    """The levels in 40 bands by 8 stretches, in dB under the loudest, not under -50."""
    rows = []
    bounds = _erb_edges(50, 16_000, 40)
    for start, stop in [(0, 0.01), *((0.01 * 2**k, 0.02 * 2**k) for k in range(7))]:
        heard = _stretch(wave, start, stop)
        size = 2**16
        power = np.abs(np.fft.rfft(heard, size)) ** 2 / heard.size
        sums = np.concatenate([[0.0], np.cumsum(power)])
        at = np.searchsorted(np.fft.rfftfreq(size, 1 / RATE), bounds)
        rows.append(np.diff(sums[at]))
    level = 10 * np.log10(np.array(rows) + 1e-30)
    relative: Samples = np.maximum(level - level.max(), -50.0)
    return relative


def _erb_edges(low: float, high: float, bands: int) -> Samples:
    """Frequencies in Hz between bands that are as wide as each other on the scale of ERBs."""
    first, last = (21.4 * np.log10(1 + 0.00437 * each) for each in (low, high))
    edges: Samples = (10 ** (np.linspace(first, last, bands + 1) / 21.4) - 1) / 0.00437
    return edges
