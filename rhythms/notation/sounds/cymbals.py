"""Ride, bell, crash, splash, china: many modes, with levels by octave as those of the hats.

A plate of area S and thickness h has about S * sqrt(3) / (h * c) modes a Hz, with c the speed of
sound in it (Fletcher and Rossing, The Physics of Musical Instruments): a cymbal of bronze some 40
to 60 in 1000 Hz. They lie irregularly; here at random, the same in every stroke. A crash swells:
its energy moves from low modes to high ones.
"""

from __future__ import annotations

from rhythms.notation.sounds.octave_shape import OctaveShape
from rhythms.notation.sounds.waves import Samples, Touch

RIDE = OctaveShape(
    51,
    blow=(-31, -33, -36, -27, -25, -25, -8, 0, 3),
    ring=(-55, -58, -25, -21, -21, -14, -9, -8, -13),
    blow_decay=0.1,
    ring_decay=5.0,
    damping=0.85,
    noise=0.0,
    attack=0.005,
    modes=600,
    softer=0.2,
)
#: The bell is thick and small: fewer modes, far apart.
BELL = OctaveShape(
    53,
    blow=(-33, -64, -15, -21, -20, -28, -8, -5, -7),
    ring=(-59, -57, -31, -21, -22, -14, -14, -19, -28),
    blow_decay=0.12,
    ring_decay=6.8,
    damping=0.82,
    noise=0.015,
    attack=0.0035,
    modes=110,
)
CRASH = OctaveShape(
    49,
    blow=(-40, -43, -16, -1, -7, -33, -40, -40, -24),
    ring=(-44, -38, -27, -10, -16, -12, -2, -7, -18),
    blow_decay=0.1,
    ring_decay=5.2,
    damping=0.9,
    noise=0.1,
    attack=0.003,
    swell=0.015,
)
SPLASH = OctaveShape(
    55,
    blow=(-29, -55, -37, -13, -11, -27, -37, -60, -47),
    ring=(-36, -41, -28, -18, -10, -6, -2, -5, -11),
    blow_decay=0.1,
    ring_decay=4.1,
    damping=0.86,
    noise=0.25,
    attack=0.004,
)
CHINA = OctaveShape(
    52,
    blow=(-28, -30, -33, -15, -19, -15, -20, -42, -39),
    ring=(-39, -35, -22, -38, -11, -6, -4, -7, -19),
    blow_decay=0.1,
    ring_decay=5.0,
    damping=0.8,
    noise=0.45,
    attack=0.004,
)


def ride(touch: Touch) -> Samples:
    """On the bow: the stick's ping over the wash."""
    return RIDE.samples(touch, 1.0)


def ride_bell(touch: Touch) -> Samples:
    """On the bell: a clear pitch with the cymbal behind it."""
    return BELL.samples(touch, 2.6)


def crash(touch: Touch) -> Samples:
    """On the edge."""
    return CRASH.samples(touch, 2.0)


def splash(touch: Touch) -> Samples:
    """Small and thin."""
    return SPLASH.samples(touch, 1.75)


def china(touch: Touch) -> Samples:
    """With its turned-up edge: low, harsh, rough."""
    return CHINA.samples(touch, 1.4)
