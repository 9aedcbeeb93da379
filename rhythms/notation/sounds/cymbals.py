"""Ride, bell, crash, splash, china. Sizes and decays are of common cymbals, our choice."""

from __future__ import annotations

from rhythms.notation.sounds.octave_shape import OctaveShape
from rhythms.notation.sounds.plate import Plate
from rhythms.notation.sounds.waves import Samples, Touch, burst, mixed

RIDE = Plate(51, 350, 15_000, 3_600, 1.1, decay=2.6, damping=0.5, cutoff=9_000)
CRASH = Plate(49, 250, 16_000, 3_000, 1.5, decay=3.0, damping=0.5, cutoff=11_000, bloom=0.05)
SPLASH = Plate(55, 600, 16_000, 5_500, 1.2, decay=0.9, damping=0.4, cutoff=12_000, bloom=0.01)
CHINA = Plate(
    52, 300, 14_000, 1_900, 1.3, decay=1.7, damping=0.35, cutoff=9_000, bloom=0.03, modes=260
)
#: The bell is thick and small: few modes, far apart. Its levels by octave are near the medians of
#: strokes on recorded kits, as those of the hats.
BELL = OctaveShape(
    53,
    blow=(-35, -33, -16, -15, -14, -9, -3, -4, -9),
    ring=(-48, -46, -26, -14, -17, -10, -6, -11, -20),
    blow_decay=0.12,
    ring_decay=4.0,
    damping=0.85,
    noise=0.0,
    attack=0.004,
    modes=70,
)


def ride(touch: Touch) -> Samples:
    """On the bow: the stick's ping over the wash."""
    ping = Plate(59, 2_400, 7_500, 4_200, 0.5, decay=0.5, damping=0.3, cutoff=9_000, modes=30)
    wash = RIDE.samples(touch, 2.5)
    return mixed(wash, 2.5 * ping.samples(touch, 0.6), _tip(touch, 51, 3.0))


def ride_bell(touch: Touch) -> Samples:
    """On the bell: a clear pitch with the cymbal behind it."""
    return BELL.samples(touch, 1.75)


def crash(touch: Touch) -> Samples:
    """On the edge."""
    return mixed(CRASH.samples(touch, 2.7), _tip(touch, 49, 0.8))


def splash(touch: Touch) -> Samples:
    """Small and thin."""
    return mixed(SPLASH.samples(touch, 1.0), _tip(touch, 55, 0.8))


def china(touch: Touch) -> Samples:
    """With its turned-up edge: low, harsh, soon gone."""
    return mixed(CHINA.samples(touch, 1.9), _tip(touch, 52, 0.8))


def _tip(touch: Touch, seed: int, strength: float) -> Samples:
    random = touch.random(seed)
    return strength * burst(0.012, 2_500, touch.cutoff(12_000), 0.01, random)
