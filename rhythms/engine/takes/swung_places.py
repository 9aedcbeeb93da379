"""Where notes that are written straight are struck by a feel, for takes."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from rhythms.engine.bars.meter import Meter
from rhythms.engine.fills.fill import Fill
from rhythms.engine.playback.feel import EIGHTHS, STRAIGHT, Feel, Warp

#: What a listener would rather not hear: finer divisions cost more, in squared deviations.
_OF_A_QUARTER = ((1, 0.0), (2, 0.5), (4, 1.5), (3, 2.5), (6, 4.5), (8, 5.5))
_OF_AN_EIGHTH = ((1, 0.0), (2, 1.0))
#: Where eighths swing, finer notes between them are less likely than a triplet that looks alike;
#: and where notes swing, even ones are less likely than those.
_FINER, _EVEN = 1.5, 2.0


class Division(NamedTuple):
    """One way to divide a beat: what it costs to hear it so, where its notes are struck, where they
    are written, and where the feel wants them; in quarters, the next beat's place is the last."""

    cost: float
    struck: tuple[float, ...]
    written: tuple[Fraction, ...]
    wanted: tuple[float, ...]


@lru_cache(maxsize=256)
def divisions(length: Fraction, meter: Meter, feel: Feel = STRAIGHT) -> tuple[Division, ...]:
    """Each way to divide a beat of this length, as written and as it swings."""
    return tuple(_divisions(length, meter, feel.in_meter(meter)))


def _divisions(length: Fraction, meter: Meter, feel: Feel) -> Iterator[Division]:
    unit, options = (2, _OF_AN_EIGHTH) if meter.in_eighths else (1, _OF_A_QUARTER)
    for parts, cost in options:
        count = int(length * parts * unit)
        written = tuple(Fraction(k, parts * unit) for k in range(count + 1))
        warp = feel.warp(meter, written)
        even = tuple(map(float, written))
        swung = tuple(float(warp.sounding(place)) for place in written)
        if swung == even:
            yield Division(cost, even, written, even)
            continue
        finer = _FINER if feel.unit == EIGHTHS and parts * unit > 2 else 0.0
        yield Division(cost + finer, swung, written, swung)
        yield Division(cost + _EVEN, even, written, swung)


def nearest(places: Sequence[float], offset: float) -> int:
    """Which of places in order is nearest; halfway, the lower one."""
    after = min(max(1, bisect_left(places, offset)), len(places) - 1)
    return after - (offset - places[after - 1] <= places[after] - offset)


@lru_cache(maxsize=64)
def onsets_struck(fill: Fill, feel: Feel) -> tuple[float, ...]:
    """Where each stroke of a fill falls by a feel, in quarters from its bar line."""
    warp = feel.warp_of(fill.bar)
    return tuple(float(warp.sounding(note.onset)) for note in fill.bar.sounded)


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
