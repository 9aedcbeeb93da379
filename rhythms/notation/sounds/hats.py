"""The hi-hat: pressed together, touching, apart, and brought together by the foot.

Levels by octave come to the medians of strokes on ten recorded kits, and so do those of cymbals
and drums (`rhythms.bench.recorded_drums`: statistics, of which nothing is copied); those of the
half-open one are our choice, between open and closed. A harder stroke is hardly brighter there.
"""

from __future__ import annotations

from rhythms.notation.sounds.octave_shape import OctaveShape
from rhythms.notation.sounds.waves import Samples, Touch

#: One pair of plates, so that they have the same modes. Pressed together they clash: most is noise.
_PLATES = 42
CLOSED = OctaveShape(
    _PLATES,
    blow=(-43, -35, -40, -18, -20, -32, -37, -10, -28),
    ring=(-65, -34, -20, -17, -20, -18, -7, -3, -2),
    blow_decay=0.08,
    ring_decay=0.42,
    damping=0.92,
    noise=0.4,
    softer=0.4,
)
HALF_OPEN = OctaveShape(
    _PLATES,
    blow=(-40, -30, -38, -12, -22, -35, -30, -14, -12),
    ring=(-45, -34, -27, -12, -15, -15, -6, -3, -5),
    blow_decay=0.1,
    ring_decay=1.1,
    damping=0.9,
    noise=0.5,
    softer=0.4,
)
OPEN = OctaveShape(
    _PLATES,
    blow=(-46, -28, -42, -7, -26, -42, -30, -17, -5),
    ring=(-37, -36, -42, -8, -13, -15, -6, -3, -9),
    blow_decay=0.1,
    ring_decay=2.8,
    damping=0.9,
    noise=0.12,
    softer=0.4,
)
BY_FOOT = OctaveShape(
    _PLATES,
    blow=(-31, -17, -15, -15, -26, -34, -31, -26, -28),
    ring=(-43, -32, -19, -22, -23, -18, -12, -7, -1),
    blow_decay=0.07,
    ring_decay=0.3,
    damping=0.9,
    noise=0.3,
    softer=0.4,
    attack=0.005,
)


def hi_hat(touch: Touch) -> Samples:
    """Closed, by the stick."""
    return CLOSED.samples(touch, 0.45)


def half_open_hi_hat(touch: Touch) -> Samples:
    """Half-open, by the stick: the plates touch while they ring."""
    return HALF_OPEN.samples(touch, 0.6)


def open_hi_hat(touch: Touch) -> Samples:
    """Open, by the stick."""
    return OPEN.samples(touch, 1.15)


def hi_hat_foot(touch: Touch) -> Samples:
    """Closed by the foot: softer at the start, and without a stick."""
    return BY_FOOT.samples(touch, 0.35)
