"""Where notes that are written straight are struck by a feel, for takes."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from rhythms.engine.bars.beat_divisions import divisions_of
from rhythms.engine.bars.feel import EIGHTHS, STRAIGHT, Feel, Warp
from rhythms.engine.bars.meter import Beat, Meter
from rhythms.engine.fills.fill import Fill

#: What a listener would rather not hear: finer divisions cost more, in squared deviations; those
#: of which each half, or each eighth, is divided apart cost most.
_OF_A_QUARTER = {
    "quarter": 0.0,
    "eighths": 0.5,
    "16ths": 1.5,
    "triplets": 2.5,
    "sextuplets": 4.5,
    "32nds": 5.5,
    "quintuplets": 7.0,
}
_OF_EIGHTHS = {"eighths": 0.0, "16ths": 1.0, "triplets": 5.0, "32nds": 5.5}
_APART = 6.0
#: Where eighths swing, finer notes between them are less likely than a triplet that looks alike;
#: and where notes swing, even ones are less likely than those.
_FINER, _EVEN = 1.5, 2.0


class StruckDivision(NamedTuple):
    """One way to divide a beat: what it costs to hear it so, where its notes are struck, where they
    are written, and where the feel wants them; in quarters, the next beat's place is the last."""

    cost: float
    struck: tuple[float, ...]
    written: tuple[Fraction, ...]
    wanted: tuple[float, ...]


@lru_cache(maxsize=256)
def divisions(length: Fraction, meter: Meter, feel: Feel = STRAIGHT) -> tuple[StruckDivision, ...]:
    """Each way to divide a beat of this length, as written and as it swings; cheaper ones first."""
    found = _divisions(length, meter, feel.in_meter(meter))
    return tuple(sorted(found, key=lambda division: division.cost))


def _divisions(length: Fraction, meter: Meter, feel: Feel) -> Iterator[StruckDivision]:
    costs = _OF_EIGHTHS if meter.in_eighths else _OF_A_QUARTER
    for counted in divisions_of(Beat(Fraction(0), length, 1), in_eighths=meter.in_eighths):
        cost = costs.get(counted.name, _APART)
        written = (*(count.offset for count in counted.counts), length)
        warp = feel.warp(meter, written)
        even = tuple(map(float, written))
        swung = tuple(float(warp.sounding(place)) for place in written)
        if swung == even:
            yield StruckDivision(cost, even, written, even)
            continue
        finer = _FINER if feel.unit == EIGHTHS and len(counted.counts) > 2 * length else 0.0
        yield StruckDivision(cost + finer, swung, written, swung)
        yield StruckDivision(cost + _EVEN, even, written, swung)


def nearest(places: Sequence[float], offset: float) -> int:
    """Which of places in order is nearest; halfway, the lower one."""
    after = min(max(1, bisect_left(places, offset)), len(places) - 1)
    return after - (offset - places[after - 1] <= places[after] - offset)


@lru_cache(maxsize=64)
def onsets_struck(fill: Fill, feel: Feel) -> tuple[float, ...]:
    """Where each stroke of a fill falls by a feel, in quarters from its bar line."""
    return tuple(map(float, feel.strokes_of(fill.bar)))


def places_struck(
    places: Sequence[tuple[float, float]], pulse: Fraction, warp: Warp
) -> tuple[tuple[float, float], ...]:
    """Places of a beat, as shares of its ``pulse`` in quarters, with something beside each, moved
    to where they are struck."""
    at = (Fraction(place).limit_denominator(48) * pulse for place, _ in places)
    return tuple(
        (float(warp.sounding(one) / pulse), beside)
        for one, (_, beside) in zip(at, places, strict=True)
    )
