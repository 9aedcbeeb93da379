"""The hi-hat: pressed together, touching, apart, and brought together by the foot.

Levels by octave are near the medians of strokes on ten recorded kits of free licences (statistics,
of which nothing is copied); those of the half-open one are our choice, between open and closed. A
harder stroke is hardly brighter there.
"""

from __future__ import annotations

from rhythms.notation.sounds.octave_shape import OctaveShape
from rhythms.notation.sounds.waves import Samples, Touch

#: One pair of plates, so that they have the same modes. Pressed together they clash: most is noise.
_PLATES = 42
CLOSED = OctaveShape(
    _PLATES,
    blow=(-31, -18, -15, -10, -11, -15, -7, 0, -2),
    ring=(-44, -27, -17, -14, -15, -14, -5, 0, 2),
    blow_decay=0.08,
    ring_decay=0.42,
    damping=0.92,
    noise=0.8,
    softer=0.4,
)
HALF_OPEN = OctaveShape(
    _PLATES,
    blow=(-30, -24, -15, -5, -11, -18, -9, -5, -4),
    ring=(-40, -28, -22, -10, -9, -7, -3, 0, -1),
    blow_decay=0.1,
    ring_decay=1.1,
    damping=0.9,
    noise=0.85,
    softer=0.4,
)
OPEN = OctaveShape(
    _PLATES,
    blow=(-30, -24, -16, -5, -11, -22, -11, -6, -6),
    ring=(-40, -30, -26, -6, -11, -13, -5, -2, -6),
    blow_decay=0.1,
    ring_decay=2.6,
    damping=0.93,
    noise=0.35,
    softer=0.4,
)
BY_FOOT = OctaveShape(
    _PLATES,
    blow=(-18, -3, -3, -8, -12, -18, -12, -8, -7),
    ring=(-35, -26, -16, -17, -16, -15, -8, -3, 0),
    blow_decay=0.08,
    ring_decay=0.35,
    damping=0.9,
    noise=0.85,
    softer=0.4,
    attack=0.004,
)


def hi_hat(touch: Touch) -> Samples:
    """Closed, by the stick."""
    return CLOSED.samples(touch, 0.4)


def half_open_hi_hat(touch: Touch) -> Samples:
    """Half-open, by the stick: the plates touch while they ring."""
    return HALF_OPEN.samples(touch, 0.68)


def open_hi_hat(touch: Touch) -> Samples:
    """Open, by the stick."""
    return OPEN.samples(touch, 1.05)


def hi_hat_foot(touch: Touch) -> Samples:
    """Closed by the foot: softer at the start, and without a stick."""
    return BY_FOOT.samples(touch, 0.35)
