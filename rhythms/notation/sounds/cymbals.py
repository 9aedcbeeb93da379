"""Hi-hat, ride, bell, crash, splash, china. Sizes and decays are of common cymbals, our choice."""

from __future__ import annotations

import numpy as np

from rhythms.notation.sounds.plate import Plate
from rhythms.notation.sounds.waves import Samples, Touch, burst, mixed

#: One pair of plates: pressed together, apart, and brought together by the foot.
CLOSED = Plate(42, 900, 16_000, 8_500, 0.9, decay=0.16, damping=0.1, cutoff=14_000)
OPEN = Plate(42, 500, 16_000, 6_500, 1.1, decay=1.1, damping=0.3, cutoff=13_000)
HALF_OPEN = Plate(42, 500, 16_000, 6_500, 1.0, decay=0.45, damping=0.25, cutoff=13_500)
BY_FOOT = Plate(44, 350, 12_000, 3_000, 0.75, decay=0.14, damping=0.2, cutoff=7_500, attack=0.004)

RIDE = Plate(51, 350, 15_000, 3_600, 1.1, decay=2.6, damping=0.5, cutoff=9_000)
CRASH = Plate(49, 250, 16_000, 3_000, 1.5, decay=3.0, damping=0.5, cutoff=11_000, bloom=0.05)
SPLASH = Plate(55, 600, 16_000, 5_500, 1.2, decay=0.9, damping=0.4, cutoff=12_000, bloom=0.01)
CHINA = Plate(
    52, 300, 14_000, 1_900, 1.3, decay=1.7, damping=0.35, cutoff=9_000, bloom=0.03, modes=260
)
#: The bell is thick and small: few modes, far apart.
BELL = Plate(53, 650, 9_000, 2_300, 0.9, decay=2.4, damping=0.6, cutoff=8_000, modes=16)


def hi_hat(touch: Touch) -> Samples:
    """Closed, by the stick."""
    return mixed(CLOSED.samples(touch, 0.2), _tip(touch, 42, 0.5))


def open_hi_hat(touch: Touch) -> Samples:
    """Open, by the stick."""
    return mixed(OPEN.samples(touch, 1.2), _tip(touch, 42, 1.0))


def half_open_hi_hat(touch: Touch) -> Samples:
    """Half-open, by the stick: the plates touch while they ring."""
    return mixed(HALF_OPEN.samples(touch, 0.5), _tip(touch, 42, 0.8))


def hi_hat_foot(touch: Touch) -> Samples:
    """Closed by the foot: lower, softer at the start, and without a stick."""
    return BY_FOOT.samples(touch, 0.2)


def ride(touch: Touch) -> Samples:
    """On the bow: the stick's ping over the wash."""
    ping = Plate(59, 2_400, 7_500, 4_200, 0.5, decay=0.5, damping=0.3, cutoff=9_000, modes=30)
    wash = RIDE.samples(touch, 2.8)
    return mixed(wash, 2.5 * ping.samples(touch, 0.6), _tip(touch, 51, 3.0))


def ride_bell(touch: Touch) -> Samples:
    """On the bell: a clear pitch with the cymbal behind it."""
    return mixed(BELL.samples(touch, 2.4), 0.04 * RIDE.samples(touch, 2.4), _tip(touch, 53, 0.3))


def crash(touch: Touch) -> Samples:
    """On the edge."""
    return mixed(CRASH.samples(touch, 3.2), _tip(touch, 49, 0.8))


def splash(touch: Touch) -> Samples:
    """Small and thin."""
    return mixed(SPLASH.samples(touch, 1.0), _tip(touch, 55, 0.8))


def china(touch: Touch) -> Samples:
    """With its turned-up edge: low, harsh, soon gone."""
    return mixed(CHINA.samples(touch, 1.9), _tip(touch, 52, 0.8))


def _tip(touch: Touch, seed: int, strength: float) -> Samples:
    random = np.random.default_rng(seed)
    return strength * burst(0.012, 2_500, touch.cutoff(12_000), 0.01, random)
