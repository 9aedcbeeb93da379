"""Drum heads: the modes of an ideal circular membrane.

A mode has ``m`` nodal diameters and ``n`` nodal circles; its frequency goes with the n-th zero
of the Bessel function J_m (Rayleigh, The Theory of Sound, chapter IX).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rhythms.notation.sounds.waves import Samples, Touch, fall, rise, time

#: The zeros j(m, n) by (m, n), up to 5 times the first: Abramowitz and Stegun, table 9.5.
ZEROS = {
    (0, 1): 2.40483,
    (1, 1): 3.83171,
    (2, 1): 5.13562,
    (0, 2): 5.52008,
    (3, 1): 6.38016,
    (1, 2): 7.01559,
    (4, 1): 7.58834,
    (2, 2): 8.41724,
    (0, 3): 8.65373,
    (5, 1): 8.77148,
    (3, 2): 9.76102,
    (6, 1): 9.93611,
    (1, 3): 10.17347,
    (4, 2): 11.06471,
    (7, 1): 11.08637,
    (2, 3): 11.61984,
    (0, 4): 11.79153,
}
#: Frequencies of the modes against the lowest.
RATIOS = {mode: zero / ZEROS[0, 1] for mode, zero in ZEROS.items()}

#: The pitch of a drum's other head against the struck one's, our choice of 1.5 to 1.6.
SECOND = 1.5
#: By so many dB a mode may be stronger or weaker from take to take.
TAKES_DIFFER = 1.5


@dataclass(frozen=True)
class Head:
    """``pitch`` of the lowest mode in Hz; ``decay`` of it in seconds to -60 dB.

    ``strike``: where it is struck, from 0 (the middle) to 1 (the rim). ``cutoff``: up to which
    frequency in Hz an accent wakes it. ``bend``: by what part the pitch starts higher in an
    accent, since a stretched head is tighter; ``settling`` seconds bring it down by e. ``contact``:
    seconds in which the stick gives its push. ``second``: how strong the other head answers, tuned
    to ``SECOND`` times the pitch. ``damping``: how much sooner higher modes die, as a power of the
    frequency.
    """

    pitch: float
    decay: float
    strike: float
    cutoff: float
    bend: float
    settling: float = 0.04
    contact: float = 0.003
    second: float = 0.0
    damping: float = 0.9

    def samples(self, touch: Touch, seconds: float) -> Samples:
        """One stroke."""
        wave = self._head(touch, seconds, 1.0)
        if self.second:
            wave += self.second * self._head(touch, seconds, SECOND)
        return rise(wave, self.contact)

    def _head(self, touch: Touch, seconds: float, tuned: float) -> Samples:
        wave = np.zeros_like(time(seconds))
        turns = self._turns(touch, seconds)
        random = touch.random(round(10 * self.pitch * tuned))
        for (diameters, _), zero in ZEROS.items():
            ratio = tuned * zero / ZEROS[0, 1]
            woken = np.exp(-((ratio * self.pitch / touch.cutoff(self.cutoff)) ** 2))
            unlike = 10 ** (random.uniform(-TAKES_DIFFER, TAKES_DIFFER) / 20)
            amplitude = abs(bessel(diameters, zero * self.strike)) * woken * unlike
            decay = self.decay / ratio**self.damping
            wave += amplitude * np.sin(ratio * turns) * fall(seconds, decay)
        return wave

    def _turns(self, touch: Touch, seconds: float) -> Samples:
        """The lowest mode's phase in radians."""
        now = time(seconds)
        bend = self.bend * float(touch.force**0.55)
        raised = bend * self.settling * (1 - np.exp(-now / self.settling))
        turns: Samples = 2 * np.pi * self.pitch * (now + raised)
        return turns


def bessel(order: int, x: float) -> float:
    """J of an integer order by Bessel's integral (Abramowitz and Stegun, 9.1.21)."""
    angles = (np.arange(400) + 0.5) * np.pi / 400
    return float(np.mean(np.cos(order * angles - x * np.sin(angles))))
