"""How loud sounds are to the ear: one stroke, and a whole piece as broadcasters measure it."""

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
#: A block of a piece in seconds, and from one to the next; what is softer than the absolute gate,
#: in LUFS, or than the relative one, in LU under the others, does not count (BS.1770-4, annex 1).
_BLOCK, _STEP = 0.4, 0.1
_ABSOLUTE_GATE, _RELATIVE_GATE = -70.0, -10.0
#: So that a sine of 997 Hz at full scale in one channel has -3.01 LKFS.
_OFFSET = -0.691
#: How much finer true peaks are looked for than samples lie (BS.1770-4, annex 2).
OVERSAMPLING = 4


def loudness(wave: Samples) -> float:
    """dB of the K-weighted power of its loudest 100 ms, a full-scale square wave at 0 or so."""
    sums = np.concatenate([[0.0], np.cumsum(_weighted(wave) ** 2)])
    window = length(_WINDOW)
    loudest = np.max(sums[window:] - sums[:-window]) / window
    return float(10 * np.log10(loudest))


def programme_loudness(wave: Samples) -> float:
    """LUFS of a whole piece, gated (ITU-R BS.1770-4): one channel, or (samples, channels).

    Minus infinity where all of it is softer than -70.
    """
    channels = wave.reshape(wave.shape[0], -1).T
    powers = np.sum([_block_powers(channel) for channel in channels], axis=0)
    heard = powers[_lufs(powers) > _ABSOLUTE_GATE]
    if not heard.size:
        return -np.inf
    heard = heard[_lufs(heard) > _lufs(np.mean(heard)) + _RELATIVE_GATE]
    return float(_lufs(np.mean(heard)))


def true_peak(wave: Samples) -> float:
    """dBTP: the highest that the wave goes between samples too, full scale being 0."""
    channels = wave.reshape(wave.shape[0], -1).T
    highest = max(float(np.max(np.abs(oversampled(channel)))) for channel in channels)
    return float(20 * np.log10(max(highest, 1e-10)))


def oversampled(wave: Samples) -> Samples:
    """One channel with OVERSAMPLING times as many samples."""
    padded = np.concatenate([wave, np.zeros(_even_size(wave.size) - wave.size)])
    finer = np.fft.irfft(np.fft.rfft(padded), OVERSAMPLING * padded.size) * OVERSAMPLING
    return finer[: OVERSAMPLING * wave.size]


def as_sampled(finer: Samples) -> Samples:
    """One channel as it was before `oversampled`, without what is too high for fewer samples."""
    size = finer.size // OVERSAMPLING
    whole = _even_size(size)
    padded = np.concatenate([finer, np.zeros(OVERSAMPLING * whole - finer.size)])
    return np.fft.irfft(np.fft.rfft(padded)[: whole // 2 + 1], whole)[:size] / OVERSAMPLING


def shaved(wave: Samples, knee: float, top: float) -> Samples:
    """One channel with its peaks rounded off: as it is up to ``knee``, hardly over ``top``.

    The curve bends without a corner, and between samples too, so that nothing folds down into
    what is heard. It is as late as the wave: no lag.
    """
    if np.max(np.abs(wave), initial=0.0) <= knee / 2:
        return wave
    finer = oversampled(wave)
    height = np.abs(finer)
    rounded = knee + (top - knee) * np.tanh((height - knee) / (top - knee))
    return as_sampled(np.where(height > knee, np.sign(finer) * rounded, finer))


def _even_size(size: int) -> int:
    """At least so many and 0.02 s of silence, in a number that Fourier transforms take fast."""
    wanted = size + length(0.02)
    step = 1 << max(1, wanted.bit_length() - 5)
    return -(-wanted // step) * step


def _block_powers(channel: Samples) -> Samples:
    padding = max(0, length(_BLOCK) - channel.size)
    weighted = _weighted(np.concatenate([channel, np.zeros(padding)]))[: channel.size + padding]
    sums = np.concatenate([[0.0], np.cumsum(weighted**2)])
    starts = np.arange(0, weighted.size - length(_BLOCK) + 1, length(_STEP))
    powers: Samples = (sums[starts + length(_BLOCK)] - sums[starts]) / length(_BLOCK)
    return powers


def _lufs(power: Samples) -> Samples:
    return _OFFSET + 10 * np.log10(np.maximum(power, 1e-20))


def _weighted(wave: Samples) -> Samples:
    """K-weighted, with a second after it."""
    padded = np.concatenate([wave, np.zeros(length(1.0))])
    padded = np.concatenate([padded, np.zeros(_even_size(padded.size) - padded.size)])
    weighted = np.fft.irfft(np.fft.rfft(padded) * _weights(padded.size), padded.size)
    return weighted[: wave.size + length(1.0)]


def _weights(count: int) -> Samples:
    """The filters' gain at each frequency of a real Fourier transform over ``count`` samples."""
    frequencies = np.fft.rfftfreq(count, 1 / RATE)
    z = np.exp(-2j * np.pi * frequencies / _THEIR_RATE)
    gain = np.ones_like(frequencies)
    for (b0, b1, b2), (a1, a2) in _FILTERS:
        gain *= np.abs((b0 + b1 * z + b2 * z**2) / (1 + a1 * z + a2 * z**2))
    return gain
