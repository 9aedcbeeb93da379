"""Strokes on a grid read back as a fill: what a listener would write down."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from statistics import median
from typing import NamedTuple

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.meter import Beat, Meter
from rhythms.engine.bars.writing import Event
from rhythms.engine.fills.fill import Fill, Stroke
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import FEET
from rhythms.engine.takes.grid import Grid
from rhythms.engine.takes.hits import Hit

#: What a listener would rather not hear: finer divisions cost more, in squared deviations.
_OF_A_QUARTER = ((1, 0.0), (2, 0.5), (4, 1.5), (3, 2.5), (6, 4.5), (8, 5.5))
_OF_AN_EIGHTH = ((1, 0.0), (2, 1.0))
#: Deviations are measured in this many ms, and none counts for more than this.
STRAY, FAR = 22.0, 9.0
#: Two strokes further apart than this, in ms, cannot share a place.
APART = 55.0
#: Two on one surface within this many ms are a flam.
FLAM = 60.0
_EARLY = Fraction(1, 10)
#: Of the middle velocity: a ghost is below the first and this soft, an accent above the second.
_GHOST, _SOFT, _ACCENT, _LOUD = 0.6, 45, 1.25, 100


class PlacedHit(NamedTuple):
    """A hit with its place: ``bar`` counted from 0, ``onset`` in quarters from the bar line,
    ``off`` in ms from there, late above 0."""

    bar: int
    onset: Fraction
    off: float
    hit: Hit


@dataclass(frozen=True)
class TouchLevels:
    """Where ghosts end and accents begin in a take; no difference where all sound alike."""

    ghost: float
    accent: float

    @classmethod
    def of(cls, hits: Sequence[Hit]) -> TouchLevels:
        """From the middle velocity of the take."""
        if len({hit.velocity for hit in hits}) < 3:
            return cls(0, 128)
        middle = median(hit.velocity for hit in hits)
        return cls(min(_SOFT, _GHOST * middle), max(_LOUD, _ACCENT * middle))

    @property
    def varies(self) -> bool:
        """Whether the strokes differ in touch at all."""
        return self.accent <= 127

    def dynamic(self, velocity: int) -> str:
        """``ghost``, ``normal`` or ``accent``."""
        if velocity <= self.ghost:
            return "ghost"
        return "accent" if velocity >= self.accent else "normal"


def place(hits: Sequence[Hit], grid: Grid) -> tuple[PlacedHit, ...]:
    """Each hit at the place where it was meant, beat by beat on the grid that fits best."""
    at = [Fraction(grid.quarters(hit.ms)).limit_denominator(10_000) for hit in hits]
    beats: dict[tuple[int, Beat], list[tuple[Fraction, Hit]]] = {}
    for quarters, hit in zip(at, hits, strict=True):
        bar, inside = divmod(quarters + _EARLY, grid.meter.length)
        beat = grid.meter.beat_at(inside)
        beats.setdefault((int(bar), beat), []).append((inside - _EARLY - beat.onset, hit))
    found = [
        placed for (bar, beat), inside in beats.items() for placed in _beat(bar, beat, inside, grid)
    ]
    return tuple(sorted(found, key=lambda placed: placed.hit.ms))


def _beat(
    bar: int, beat: Beat, inside: list[tuple[Fraction, Hit]], grid: Grid
) -> Iterator[PlacedHit]:
    quarter = 60_000 / grid.tempo
    snaps = [
        (_cost(snapped, inside, quarter) + cost, snapped)
        for cost, places in _divisions(beat.length, grid.meter.in_eighths)
        for snapped in [[_nearest(places, offset) for offset, _ in inside]]
    ]
    best = min(snaps, key=lambda found: found[0])[1]
    for place, (offset, hit) in zip(best, inside, strict=True):
        off = float(offset - place) * quarter
        onset = beat.onset + place
        over = onset >= grid.meter.length
        yield PlacedHit(bar + over, onset - grid.meter.length if over else onset, off, hit)


@lru_cache(maxsize=64)
def _divisions(
    length: Fraction, in_eighths: bool
) -> tuple[tuple[float, tuple[Fraction, ...]], ...]:
    """The cost and the places of each division of a beat; the next beat's place is the last."""
    unit, options = (2, _OF_AN_EIGHTH) if in_eighths else (1, _OF_A_QUARTER)
    return tuple(
        (cost, tuple(Fraction(k, parts * unit) for k in range(int(length * parts * unit) + 1)))
        for parts, cost in options
    )


def _nearest(places: Sequence[Fraction], offset: Fraction) -> Fraction:
    """The nearest of places that are equally far apart, from 0 on; halfway, the lower one."""
    halves = 2 * offset.numerator * places[1].denominator
    whole = offset.denominator * places[1].numerator
    return places[min(max(0, -((whole - halves) // (2 * whole))), len(places) - 1)]


def _cost(snapped: list[Fraction], inside: list[tuple[Fraction, Hit]], quarter: float) -> float:
    cost, first = 0.0, dict[Fraction, float]()
    for place, (offset, hit) in zip(snapped, inside, strict=True):
        cost += min(FAR, (float(offset - place) * quarter / STRAY) ** 2)
        if hit.ms - first.setdefault(place, hit.ms) > APART:
            cost += FAR
    return cost


def fill_of(placed: Sequence[PlacedHit], meter: Meter, kit: Kit, touch: TouchLevels) -> Fill:
    """One bar's strokes as a fill; a foot under a hand, and a second hand, are left out.

    A fill has one stroke at a time: hands go before feet, then the louder one. Hands are open,
    as nobody saw them.
    """
    by_onset: dict[Fraction, list[Hit]] = {}
    for each in placed:
        by_onset.setdefault(each.onset, []).append(each.hit)
    events = [Event(onset) for onset in sorted(by_onset)]
    if not events or events[0].onset:
        events.insert(0, Event(Fraction(0), rest=True))
    strokes = [_stroke(by_onset[onset], kit, touch) for onset in sorted(by_onset)]
    return Fill(Bar.from_events(meter, events), tuple(strokes))


def leading(hits: Sequence[Hit]) -> Hit:
    """The stroke that is written where several sound at once."""
    return max(hits, key=lambda hit: (hit.surface not in FEET, hit.velocity))


def _stroke(hits: list[Hit], kit: Kit, touch: TouchLevels) -> Stroke:
    main = leading(hits)
    surface = main.surface
    limb = kit.foot_for(surface) if surface in FEET else None
    same = [hit.ms for hit in hits if hit.surface is surface]
    flam = surface not in FEET and 0 < max(same) - min(same) <= FLAM
    return Stroke(surface, limb, touch.dynamic(main.velocity), "flam" if flam else None)
