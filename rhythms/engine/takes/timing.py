"""How steady and how early or late, no finer than the measurement allows.

Bands and limits are proposals, set beside what listeners can hear: a displaced tone is noticed
from about 6 ms in fast runs (Friberg and Sundberg 1995), one instrument early or late in a full
groove from about 20 ms (19 to 24 in a preprint of 64 listeners).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import fmean, median, pstdev

#: The widest spread of each band, as a standard deviation in ms, and its name.
BANDS = ((15.0, "tight"), (25.0, "solid"), (40.0, "loose"))
NOT_YET = "not yet"
#: Fewer strokes than this carry no band, fewer than this no line of their own.
FOR_A_BAND, FOR_A_GROUP = 8, 4
#: Early or late by less than this, in ms, is not heard in a groove.
HEARD = 20.0


@dataclass(frozen=True)
class Timing:
    """``bias`` and ``spread`` in ms; ``band`` "" where too few strokes speak.

    ``at_least``: the band is as fine as the device allows, the playing may be finer.
    ``verdict`` is early, late or on the click; "" where nothing can be known.
    """

    name: str
    strokes: int
    bias: float
    spread: float
    band: str = ""
    at_least: bool = False
    verdict: str = ""


def band(spread: float, jitter: float) -> tuple[str, bool]:
    """The band of a spread, and whether the device hides a finer one.

    A band narrower than the device's own unsteadiness is never given.
    """
    limits = [limit for limit, _ in BANDS]
    finest = next((k for k, limit in enumerate(limits) if limit >= jitter), len(BANDS))
    found = next((k for k, limit in enumerate(limits) if spread <= limit), len(BANDS))
    names = [name for _, name in BANDS] + [NOT_YET]
    return names[max(found, finest)], found < finest


def timing(
    name: str, offs: Sequence[float], *, jitter: float, centre: float | None = None
) -> Timing:
    """Bias and spread of deviations in ms; bias against ``centre``, 0 by default.

    A band needs enough strokes.
    """
    bias = median(offs) - (centre or 0.0)
    spread = pstdev(offs)
    if len(offs) < FOR_A_BAND:
        return Timing(name, len(offs), bias, spread)
    found, at_least = band(spread, jitter)
    return Timing(name, len(offs), bias, spread, found, at_least)


def spread_of(offs: Sequence[float]) -> float | None:
    """The standard deviation of a fill's strokes in ms; None of too few."""
    return pstdev(offs) if len(offs) >= FOR_A_BAND else None


def verdict(offs: Sequence[float], latency: float | None, jitter: float) -> str:
    """Early, late or on the click; "" without a measured latency, or with too few strokes.

    ``offs`` in ms have the latency taken off. What is within the limit of hearing, the device's
    unsteadiness or twice the standard error is on the click.
    """
    if latency is None or len(offs) < FOR_A_BAND:
        return ""
    mean = fmean(offs)
    sure = max(HEARD, jitter, 2 * pstdev(offs) / sqrt(len(offs)))
    if abs(mean) <= sure:
        return "on the click"
    return "late" if mean > 0 else "early"
