"""Cymbals: thin plates, whose modes lie evenly along the frequencies.

A plate of area S and thickness h has about S * sqrt(3) / (h * c) modes a Hz, with c the speed of
sound in it (Fletcher and Rossing, The Physics of Musical Instruments): for a cymbal of bronze
some 40 to 60 in 1000 Hz. They lie irregularly; here at random, the same every time.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rhythms.notation.sounds.waves import Partials, Samples, Touch, rise


@dataclass(frozen=True)
class Plate:
    """``seed`` numbers the cymbal: the same plate has the same modes however it is struck.

    Frequencies in Hz, decay times in seconds to -60 dB. ``low`` to ``high``: where its modes
    lie. ``body``: where it is loudest; ``width``: how far round that, in octaves. ``decay``:
    of the modes at ``body``; higher ones die away by ``damping``, a power of the frequency.
    ``cutoff``: up to which frequency an accent wakes it. ``bloom``: seconds in which energy
    moves up from the low modes to those of 10 kHz. ``attack``: seconds until it sounds.
    """

    seed: int
    low: float
    high: float
    body: float
    width: float
    decay: float
    damping: float
    cutoff: float
    bloom: float = 0.0
    attack: float = 0.0004
    modes: int = 600

    def samples(self, touch: Touch, seconds: float) -> Samples:
        """One stroke."""
        random = np.random.default_rng(self.seed)
        frequencies = np.sort(random.uniform(self.low, self.high, self.modes))
        octaves = np.log2(frequencies / self.body)
        woken = np.exp(-((frequencies / touch.cutoff(self.cutoff)) ** 2))
        strengths = random.rayleigh(1.0, self.modes) * np.exp(-((octaves / self.width) ** 2))
        decays = self.decay * np.minimum((frequencies / self.body) ** -self.damping, 1.6)
        phases = random.uniform(0, 2 * np.pi, self.modes)
        struck = Partials(frequencies, strengths * woken, decays, phases)
        wave = struck.samples(seconds) - self._not_yet(struck, seconds)
        return rise(wave, self.attack)

    def _not_yet(self, struck: Partials, seconds: float) -> Samples | float:
        """What is missing of the high modes before energy has come up to them."""
        if not self.bloom:
            return 0.0
        coming = self.bloom * struck.frequencies / 10_000
        missing = struck.amplitudes * np.minimum(struck.frequencies / 4_000, 1.0)
        soon = 1 / (1 / struck.decays + 1 / (3 * coming))
        return Partials(struck.frequencies, missing, soon, struck.phases).samples(seconds)
