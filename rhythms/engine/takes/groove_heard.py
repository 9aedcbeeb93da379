"""Which groove was played: the bars of groove in a take, held against grooves that are written."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from fractions import Fraction
from functools import lru_cache

from rhythms.engine.bars.feel import Feel
from rhythms.engine.bars.meter import Meter
from rhythms.engine.kits.surfaces import Surface, base
from rhythms.engine.playback.groove import Groove
from rhythms.engine.takes.split import TIMEKEEPERS
from rhythms.engine.takes.stroke_reading import PlacedHit

#: What a groove is called that is none of those it was held against.
OTHER_GROOVE = "another groove"
#: The least likeness of bars to a groove that has its name.
ITS_NAME = 0.7
#: A stroke of what keeps time weighs so much of one that makes the beat: many beats share it.
_TIMEKEEPING = 0.5
#: Of each bar of two so many different ones are looked at, those played most often.
_MOST_BARS = 16
#: Where two strokes sound in one place: triplets and 32nds are told apart.
_PLACES = 24

#: Place in the bar in 24ths of a quarter, and what is struck, by whichever way.
Struck = frozenset[tuple[int, Surface]]


def groove_heard(
    placed: Iterable[PlacedHit],
    bars: Collection[int],
    grooves: Iterable[Groove],
    meter: Meter,
    feel: Feel,
) -> Groove | None:
    """The groove that these ``bars`` of a take are most alike, None where they are like none.

    ``placed`` are written strokes, played with ``feel``; grooves in another meter are left out.
    Of grooves that are as alike the first one.
    """
    played = _played(placed, bars, meter, feel)
    best, most = None, ITS_NAME
    for groove in grooves:
        there = groove.in_meter(meter.one_bar) if played else None
        alike = _likeness(played, _written(there)) if there else 0.0
        if alike > most or (best is None and alike == most):
            best, most = groove, alike
    return best


def _played(
    placed: Iterable[PlacedHit], bars: Collection[int], meter: Meter, feel: Feel
) -> list[tuple[int, Struck, int]]:
    """Whether a bar is an even one, what is struck in it, and how often it came like that."""
    hits: dict[int, list[tuple[Fraction, Surface]]] = {bar: [] for bar in bars}
    for each in placed:
        if each.bar in hits:
            hits[each.bar].append((each.onset, each.hit.surface))
    found = Counter((bar % 2, _sounding(struck, meter, feel)) for bar, struck in hits.items())
    of_each = [
        [(*bar, times) for bar, times in found.most_common() if bar[0] == odd][:_MOST_BARS]
        for odd in (0, 1)
    ]
    return [*of_each[0], *of_each[1]]


def _sounding(struck: Sequence[tuple[Fraction, Surface]], meter: Meter, feel: Feel) -> Struck:
    """A shuffle is one whether it is written in triplets or swung."""
    warp = feel.warp(meter, [onset for onset, _ in struck])
    return frozenset((round(warp.sounding(at) * _PLACES), base(drum)) for at, drum in struck)


@lru_cache(maxsize=128)
def _written(groove: Groove) -> tuple[Struck, ...]:
    """Each bar of a groove as it sounds."""
    meter = groove.meter.one_bar
    return tuple(
        _sounding([(hit.onset, hit.surface) for hit in groove.in_bar(bar)], meter, groove.feel)
        for bar in range(groove.meter.bars)
    )


def _likeness(played: Sequence[tuple[int, Struck, int]], written: Sequence[Struck]) -> float:
    """The mean likeness of what was played to the groove, from whichever of its bars it began."""
    total = sum(times for _, _, times in played)
    from_each = (
        sum(
            times * _alike(struck, written[(odd + start) % len(written)])
            for odd, struck, times in played
        )
        for start in range(len(written))
    )
    return max(from_each) / total


def _alike(one: Struck, other: Struck) -> float:
    """The share of strokes in common, from 0 to 1; those that make the beat weigh double."""
    whole = _weight(one) + _weight(other)
    return 2 * _weight(one & other) / whole if whole else 0.0


def _weight(struck: Struck) -> float:
    return sum(_TIMEKEEPING if drum in TIMEKEEPERS else 1.0 for _, drum in struck)
