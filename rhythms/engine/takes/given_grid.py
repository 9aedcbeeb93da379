"""A grid that was given, by a click or a file: moved to where the strokes are, or left for one that
they follow instead."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.takes.grid import FILE, Floats, Grid
from rhythms.engine.takes.hits import TimedHit
from rhythms.engine.takes.tempo_estimate import fit, fits, how_many

#: What a grid with a beat of its own must be better by: its beat's length, phase and wandering
#: were fitted to so many moments, and something that a player would notice.
_FITTED, _NOTICED = 12.0, 0.2
#: The same for a phase alone.
_PHASE, _CLEARLY = 3.0, 0.3
#: A device's delay is searched as far as this, in steps of ms; being late costs likelihood.
_FURTHEST, _SHIFT, _RELUCTANCE = 200.0, 4.0, 0.25
#: In a file the strokes stand where they were recorded: drummers are as a whole this far from the
#: grid, as a standard deviation in ms (in human fills 16, no fill more than 70), and never as far
#: as a 32nd, in quarters. Further off is only what was recorded with a delay.
_ALL_OFF, _NEAR = 25.0, 0.11
#: Who counts a take at least so much faster or slower has finer or wider places. Counting the given
#: grid so costs likelihood; within this share a multiple of its tempo is its own.
_AS_FAST, _COUNTING = ((2.2, 3.0), (1.4, 2.0), (0.7, 1.0), (0.0, 0.5)), 0.2
_MULTIPLES, _THE_SAME = (2.0, 3.0, 0.5), 0.03


def clearly_better(
    free: Grid, given: Grid, hits: Sequence[TimedHit], feel: Feel = STRAIGHT
) -> bool:
    """Whether the strokes follow a grid of their own rather than the one that was given.

    Who does not swing, or plays even notes where others swing, is not off the click for it.
    """
    return _fit_of_own(free, hits, feel) > _fit_of_given(given, hits, feel)


def clearly_left(free: Grid, given: Grid, hits: Sequence[TimedHit], feel: Feel = STRAIGHT) -> bool:
    """The same of a grid whose tempo, too, was made out from the strokes alone.

    Nobody leaves a click by playing 32nds or triplets: on a grid that is two or three times as
    fast they are nearer to a place for that alone, and so the given one is counted as fast.
    """
    ratio = free.tempo / given.tempo
    if any(abs(ratio / times - 1) < _THE_SAME for times in _MULTIPLES):
        return False
    as_fast = next(times for least, times in _AS_FAST if ratio >= least)
    counted = _fit_of_given(given, hits, feel, as_fast) - _COUNTING
    return _fit_of_own(free, hits, feel) > max(_fit_of_given(given, hits, feel), counted)


def _fit_of_own(free: Grid, hits: Sequence[TimedHit], feel: Feel) -> float:
    """With what it must be better by taken off."""
    return fit(hits, free, feel) - _NOTICED - _FITTED / max(1, how_many(hits))


def _fit_of_given(given: Grid, hits: Sequence[TimedHit], feel: Feel, times: float = 1.0) -> float:
    return max(fit(hits, given, one, times) for one in {feel, STRAIGHT})


def shifted(hits: Sequence[TimedHit], grid: Grid, feel: Feel = STRAIGHT) -> Grid:
    """The grid moved to where the strokes are, at most a 16th: a device delays them all alike.

    They are swung or even, whichever they fit better. The grid of a file moves less than a 32nd,
    unless they clearly are as much later as that.
    """
    moved = [_shifted(hits, grid, one) for one in dict.fromkeys((feel, STRAIGHT))]
    return max(moved, key=lambda found: found[0])[1]


def _shifted(hits: Sequence[TimedHit], grid: Grid, feel: Feel) -> tuple[float, Grid]:
    """How likely the strokes are by a feel on the grid that is moved to them, and that grid."""
    most = min(_FURTHEST, 15_000 / grid.tempo)
    steps = int(most / _SHIFT)
    shifts = np.linspace(-steps * _SHIFT, steps * _SHIFT, 2 * steps + 1)
    likely = fits(hits, grid, shifts, feel) - _RELUCTANCE * np.abs(shifts) / most
    best = int(np.argmax(likely))
    if grid.known == FILE:
        near = _near(likely, shifts, grid.tempo, how_many(hits))
        if likely[best] <= likely[near] + _CLEARLY + _PHASE / max(1, how_many(hits)):
            best = near
    anchors = tuple((at, ms + float(shifts[best])) for at, ms in grid.anchors)
    return float(likely[best]), replace(grid, anchors=anchors)


def _near(likely: Floats, shifts: Floats, tempo: float, moments: int) -> int:
    """The likeliest of the shifts within a 32nd, by how far drummers are from the grid."""
    told = moments * likely - 0.5 * (shifts / _ALL_OFF) ** 2
    return int(np.argmax(np.where(np.abs(shifts) <= _NEAR * 60_000 / tempo, told, -np.inf)))
