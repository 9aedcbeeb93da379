"""How far a take swings: made out where nobody said, and measured where it is known."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import median

from rhythms.engine.bars.feel import PAIRS, STRAIGHT, Feel
from rhythms.engine.takes.given_grid import shifted
from rhythms.engine.takes.grid import Grid
from rhythms.engine.takes.hits import TimedHit
from rhythms.engine.takes.stroke_reading import PlacedHit
from rhythms.engine.takes.tempo_estimate import fit

#: Nearer to even notes it is no swing; from a triplet's place on, triplets and 16ths say it all.
LEAST_MADE_OUT, MOST_MADE_OUT = 55, 63
_TRIED = tuple(Feel(swing) for swing in (56, 59, 62))
#: What the strokes must fit better by, per moment, in log likelihood.
_CLEARLY = 0.3
#: Fewer first or second notes than this say nothing of how they are shared.
FEWEST = 6


def feel_made_out(hits: Sequence[TimedHit], grid: Grid) -> Feel:
    """A light swing that the strokes follow rather than even notes or triplets; else STRAIGHT.

    Swing at a triplet's place is not told from triplets, nor hard swing from dotted notes: as they
    are read, they are right.
    """
    if not _TRIED[0].swings_in(grid.meter) or not hits:
        return STRAIGHT
    fits = [(fit(hits, shifted(hits, grid, feel), feel), feel) for feel in _TRIED]
    best, feel = max(fits, key=lambda tried: tried[0])
    return feel if best > fit(hits, grid) + _CLEARLY else STRAIGHT


def measured(placed: Sequence[PlacedHit], feel: Feel, grid: Grid) -> float | None:
    """What the first of two notes took of a pair, in percent; None where too few notes say.

    ``placed`` as the feel has them.
    """
    pair = PAIRS[feel.unit]
    firsts = [one.off for one in placed if one.onset % pair == 0]
    seconds = [one.off for one in placed if one.onset % pair == pair / 2]
    if min(len(firsts), len(seconds)) < FEWEST:
        return None
    late = (median(seconds) - median(firsts)) * grid.tempo / 60_000
    return 100 * (float(feel.in_meter(grid.meter).share) + late / float(pair))


def refined(feel: Feel, percent: float) -> Feel:
    """The feel that was made out, at what it was measured to be."""
    return Feel(min(max(round(percent), LEAST_MADE_OUT), MOST_MADE_OUT), feel.unit)
