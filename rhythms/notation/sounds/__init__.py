"""A drum kit of our own, computed: every surface in three dynamics, clicks and a count-in."""

from rhythms.notation.sounds.library import (
    CHOKES,
    CLICK,
    CLICK_ONE,
    COUNT_IN,
    NAMES,
    OFFSET,
    OPEN_HI_HAT,
    SOUNDS_VERSION,
    dynamics_of,
    encoded,
    samples,
)
from rhythms.notation.sounds.waves import RATE, Samples

__all__ = [
    "CHOKES",
    "CLICK",
    "CLICK_ONE",
    "COUNT_IN",
    "NAMES",
    "OFFSET",
    "OPEN_HI_HAT",
    "RATE",
    "SOUNDS_VERSION",
    "Samples",
    "dynamics_of",
    "encoded",
    "samples",
]
