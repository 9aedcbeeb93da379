"""Sounds shaped octave by octave: how strong each is, and how soon it dies away.

A source of many modes and of noise, as strong in every octave, is taken apart into octaves; each
gets its level and falls by two exponentials, what the blow itself sets off and what rings on. So a
sound comes out with the levels that are measured on recorded drums, whatever its source.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rhythms.notation.sounds.waves import RATE, Partials, Samples, Touch, length, rise, time

#: Middles of the octaves in Hz; the last reaches up to 20 kHz.
OCTAVES = (63, 125, 250, 500, 1000, 2000, 4000, 8000, 14_000)
_EDGES = (*(centre * 2**0.5 for centre in OCTAVES[:-1]),)
#: By so many dB a mode, and an octave, may be stronger or weaker from take to take.
TAKES_DIFFER = 1.0
#: From a decay time to -60 dB to the exponent's rate.
_TO_60_DB = float(np.log(1000))


@dataclass(frozen=True)
class OctaveShape:
    """``blow`` and ``ring`` in dB, an entry an octave, of what the blow sets off and of what rings.

    ``blow_decay`` and ``ring_decay``: seconds to -60 dB, of the octave at 500 Hz; each octave up
    they are ``damping`` times as long. ``noise``: what part of the power is noise, the rest modes.
    ``attack``: seconds until it sounds; ``swell``: seconds in which what rings comes up, all but an
    e-th of it, since energy moves from mode to mode. ``seed`` numbers what is struck: its modes
    stay the same, but each take wakes them differently. A soft stroke wakes each octave above 500
    Hz by up to ``softer`` dB less than the one below.
    """

    seed: int
    blow: tuple[float, ...]
    ring: tuple[float, ...]
    blow_decay: float
    ring_decay: float
    damping: float
    noise: float
    attack: float = 0.002
    swell: float = 0.0
    modes: int = 900
    softer: float = 1.5

    def samples(self, touch: Touch, seconds: float) -> Samples:
        """One stroke."""
        random = touch.random(self.seed)
        parts = _in_octaves(self._source(seconds, random))
        uneven = random.uniform(-TAKES_DIFFER, TAKES_DIFFER, len(parts))
        now = time(seconds)
        come = 1 - np.exp(-now / self.swell) if self.swell else 1.0
        wave = np.zeros_like(now)
        for octave, part in enumerate(parts):
            above = octave - OCTAVES.index(500)
            longer = self.damping**above
            heard = uneven[octave] - self.softer * (1 - touch.force) * max(0, above)
            wave += part * (
                _falling(self.blow[octave] + heard, self.blow_decay * longer, now)
                + come * _falling(self.ring[octave] + heard, self.ring_decay * longer, now)
            )
        return rise(wave, self.attack)

    def _source(self, seconds: float, take: np.random.Generator) -> Samples:
        """Modes at random, as many in each octave, and noise."""
        random = np.random.default_rng(self.seed)
        places = np.sort(random.uniform(np.log(30), np.log(20_000), self.modes))
        unlike = 10 ** (take.uniform(-TAKES_DIFFER, TAKES_DIFFER, self.modes) / 20)
        struck = Partials(
            np.exp(places),
            random.rayleigh(1.0, self.modes) * unlike,
            np.full(self.modes, 1e6),
            take.uniform(0, 2 * np.pi, self.modes),
        )
        tones = struck.samples(seconds)
        hiss = take.standard_normal(length(seconds))
        mix: Samples = (1 - self.noise) ** 0.5 * _even(tones) + self.noise**0.5 * _even(hiss)
        return mix


def _falling(level: float, decay: float, now: Samples) -> Samples:
    falling: Samples = 10 ** (level / 20) * np.exp(-_TO_60_DB * now / decay)
    return falling


def _even(wave: Samples) -> Samples:
    """The same with each octave as strong as the others."""
    parts = _in_octaves(wave)
    even: Samples = np.sum([part / np.sqrt(np.mean(part**2)) for part in parts], axis=0)
    return even


def _in_octaves(wave: Samples) -> list[Samples]:
    """The wave in octaves that add up to it; neighbours give way to each other within a third."""
    spectrum = np.fft.rfft(wave)
    frequencies = np.maximum(np.fft.rfftfreq(wave.size, 1 / RATE), 1)
    # How much of each frequency lies below each edge.
    below = [np.clip(0.5 - 3 * np.log2(frequencies / edge), 0, 1) for edge in _EDGES]
    everything = np.ones_like(frequencies)
    shares = np.diff([0 * everything, *below, everything], axis=0)
    return [np.fft.irfft(spectrum * share, wave.size) for share in shares]
