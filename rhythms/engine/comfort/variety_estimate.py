"""The effective number of different fills, with what it may be off by."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.comfort.playing import Playing, resampled
from rhythms.engine.fills.variety import effective_number, effective_numbers

#: How often the takes are drawn again, and how much of what comes out the interval holds.
TIMES, HELD = 200, 0.95

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Estimate:
    """``value`` lies with 95 % between ``low`` and ``high``; it rests on so many ``takes``."""

    value: float
    low: float
    high: float
    takes: int


def variety(playing: Playing, seed: int = 0) -> Estimate | None:
    """The effective number of different fills (order 1, with likeness), weighted by time.

    Few takes never show all that a student has, so the number found is too low, and it is
    lower still when takes are drawn again from those found. How much lower tells by which
    factor to correct: the basic bootstrap on logarithms (Davison and Hinkley 1997, "Bootstrap
    Methods and their Application", 5.2). None where there are too few takes.
    """
    if not playing.is_enough:
        return None
    value, low, high = _corrected(_found(playing), _again(playing, seed))
    return Estimate(max(1.0, value), max(1.0, low), max(1.0, high), len(playing.takes))


def change(before: Playing, after: Playing, seed: int = 0) -> Estimate | None:
    """By which factor the variety has grown; None where either rests on too few takes."""
    if not (before.is_enough and after.is_enough):
        return None
    again = _again(after, seed) / _again(before, seed + 1)
    grown = _corrected(_found(after) / _found(before), again)
    return Estimate(*grown, len(before.takes) + len(after.takes))


def _found(playing: Playing) -> float:
    return effective_number(playing.seconds_of_kinds.tolist(), playing.alike)


def _corrected(found: float, again: Floats) -> tuple[float, float, float]:
    """What was found as far from its middle as the middle is from what came out again."""
    low, high = np.quantile(again, [(1 - HELD) / 2, (1 + HELD) / 2])
    middle = np.exp(np.log(again).mean())
    return found**2 / float(middle), found**2 / float(high), found**2 / float(low)


def _again(playing: Playing, seed: int) -> Floats:
    """The effective number each time that the takes are drawn again."""
    drawn = resampled(len(playing.takes), TIMES, seed) @ playing.seconds_by_take
    return effective_numbers(drawn, playing.alike)
