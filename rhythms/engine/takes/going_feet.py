"""Feet that keep going under a fill, held against what a take has of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import NamedTuple

from rhythms.engine.bars.feel import Feel
from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.takes.attempt_result import MISSED, OF_THE_GAP, RIGHT, WINDOW, FootResult
from rhythms.engine.takes.grid import Grid
from rhythms.engine.takes.hits import TimedHit


class KeptGoing(NamedTuple):
    """What became of each foot hit that was expected, and the strokes that none of them took."""

    feet: tuple[FootResult, ...] = ()
    left: tuple[TimedHit, ...] = ()


def kept_going(
    meant: tuple[Fill, Feel],
    left: Sequence[TimedHit],
    grid: Grid,
    bar: int,
    late: Callable[[float], float],
) -> KeptGoing:
    """Each foot hit takes the nearest stroke of its foot; ``left`` are those of no note.

    ``late`` says by how many ms the attempt is late at a time of the grid.
    """
    fill, feel = meant
    warp = feel.warp_of(fill.bar)
    start = bar * grid.meter.length
    times = [grid.ms(float(start + warp.sounding(hit.onset))) for hit in fill.going_on]
    results, free = list[FootResult](), list(left)
    for hit, ms, window in zip(fill.going_on, times, _windows(fill, times), strict=True):
        at = ms + late(ms)
        near = [one for one in free if one.surface is hit.surface and abs(one.ms - at) <= window]
        if not near:
            results.append(FootResult(hit.onset, hit.surface, MISSED))
            continue
        taken = min(near, key=lambda one: abs(one.ms - at))
        free.remove(taken)
        results.append(FootResult(hit.onset, hit.surface, RIGHT, taken.ms - ms))
    return KeptGoing(tuple(results), tuple(free))


def _windows(fill: Fill, times: Sequence[float]) -> list[float]:
    """The ms to either side of each hit in which it may come; those of one foot never meet."""
    of_foot: dict[Surface, list[float]] = {}
    for hit, ms in zip(fill.going_on, times, strict=True):
        of_foot.setdefault(hit.surface, []).append(ms)
    closest = {
        surface: min((then - now for now, then in pairwise(ms)), default=2 * WINDOW / OF_THE_GAP)
        for surface, ms in of_foot.items()
    }
    return [min(WINDOW, OF_THE_GAP * closest[hit.surface]) for hit in fill.going_on]
