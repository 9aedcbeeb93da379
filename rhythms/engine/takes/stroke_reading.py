"""Strokes on a grid read back as a fill: what a listener would write down."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.bars.meter import Beat, Meter
from rhythms.engine.bars.writing import Event
from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import FEET, Surface, base
from rhythms.engine.takes.grid import Grid
from rhythms.engine.takes.hits import TimedHit
from rhythms.engine.takes.moments import FOOT_UNDER, moments
from rhythms.engine.takes.struck_at_once import AtOnce, Caught, at_once
from rhythms.engine.takes.swung_places import StruckDivision, divisions, nearest
from rhythms.engine.takes.touch_levels import TouchLevels

#: Deviations are measured in this many ms, and none counts for more than this; nor does it cost
#: more that two strokes share a place which are not together.
STRAY, FAR = 22.0, 9.0
#: Two on one surface within this many ms may be a flam.
FLAM = 60.0
#: The ornament of a stroke by how many strokes of its drum come before it at the same place.
GRACED = (None, "flam", "drag")
_EARLY = Fraction(1, 10)


class PlacedHit(NamedTuple):
    """A hit with its place: ``bar`` counted from 0, ``onset`` in quarters from the bar line,
    ``off`` in ms from there, late above 0."""

    bar: int
    onset: Fraction
    off: float
    hit: TimedHit


class _Moment(NamedTuple):
    """Hits that sound together, and where: ``offset`` in quarters from a beat, of all in all.

    ``shares`` says whether it may have the place of the moment before it.
    """

    offset: Fraction
    hits: tuple[tuple[Fraction, TimedHit], ...]
    shares: bool


def place(hits: Sequence[TimedHit], grid: Grid, feel: Feel = STRAIGHT) -> tuple[PlacedHit, ...]:
    """Each hit at the place where it was meant, beat by beat on the grid that fits best.

    Hits that sound together share a place. By a feel that is known, swung notes are placed where
    they are written.
    """
    beats: dict[tuple[int, Beat], list[_Moment]] = {}
    before: tuple[TimedHit, ...] = ()
    for group in moments([hit.ms for hit in hits], [base(hit.surface) for hit in hits]):
        together = tuple(hits[k] for k in group)
        at = [Fraction(grid.quarters(hit.ms)).limit_denominator(10_000) for hit in together]
        middle = sum(at, Fraction(0)) / len(at)
        bar, inside = divmod(middle + _EARLY, grid.meter.length)
        beat = grid.meter.beat_at(inside)
        start = middle - (inside - _EARLY - beat.onset)
        beats.setdefault((int(bar), beat), []).append(
            _Moment(
                middle - start,
                tuple((each - start, hit) for each, hit in zip(at, together, strict=True)),
                bool(before) and _may_share(before, together),
            )
        )
        before = together
    found = [
        placed for where, inside in beats.items() for placed in _beat(where, inside, grid, feel)
    ]
    return tuple(sorted(found, key=lambda placed: placed.hit.ms))


def _may_share(before: Sequence[TimedHit], then: Sequence[TimedHit]) -> bool:
    """Whether two moments may be meant for one place: a flam, or a foot under the hands."""
    gap = then[0].ms - before[-1].ms
    if any(base(a.surface) == base(b.surface) for a in before for b in then):
        return gap <= FLAM
    return gap <= FOOT_UNDER and any(hit.surface in FEET for hit in (*before, *then))


def _beat(
    where: tuple[int, Beat], inside: Sequence[_Moment], grid: Grid, feel: Feel
) -> Iterator[PlacedHit]:
    (bar, beat), quarter = where, 60_000 / grid.tempo
    chosen, division = _best(divisions(beat.length, grid.meter, feel), inside, quarter)
    for place, moment in zip(chosen, inside, strict=True):
        onset = beat.onset + division.written[place]
        over = onset >= grid.meter.length
        for offset, hit in moment.hits:
            off = (float(offset) - division.wanted[place]) * quarter
            yield PlacedHit(bar + over, onset - grid.meter.length if over else onset, off, hit)


def _best(
    ways: Sequence[StruckDivision], inside: Sequence[_Moment], quarter: float
) -> tuple[list[int], StruckDivision]:
    """The place of each moment, in the way that costs least; a dearer one cannot be better."""
    best: tuple[float, list[int], StruckDivision] | None = None
    for way in ways:
        if best and way.cost >= best[0]:
            break
        places = [nearest(way.struck, float(moment.offset)) for moment in inside]
        cost = way.cost + _cost([way.struck[place] for place in places], inside, quarter)
        if best is None or cost < best[0]:
            best = cost, places, way
    if best is None:
        raise ValueError("A beat is divided in one way at least.")
    return best[1:]


def _cost(struck: list[float], inside: Sequence[_Moment], quarter: float) -> float:
    cost, last = 0.0, None
    for place, moment in zip(struck, inside, strict=True):
        cost += min(FAR, ((float(moment.offset) - place) * quarter / STRAY) ** 2)
        if place == last and not moment.shares:
            cost += FAR
        last = place
    return cost


def fill_of(placed: Sequence[PlacedHit], meter: Meter, kit: Kit, touch: TouchLevels) -> Fill:
    """One bar's strokes as a fill, with all that two hands and two feet strike together.

    Hands are open, as nobody saw them.
    """
    by_onset: dict[Fraction, list[TimedHit]] = {}
    for each in placed:
        by_onset.setdefault(each.onset, []).append(each.hit)
    events = [Event(onset) for onset in sorted(by_onset)]
    if not events or events[0].onset:
        events.insert(0, Event(Fraction(0), rest=True))
    strokes = [stroke_at(by_onset[onset], kit, touch).stroke for onset in sorted(by_onset)]
    return Fill(Bar.from_events(meter, events), tuple(strokes))


def offs_of(placed: Iterable[PlacedHit]) -> list[float]:
    """The deviations of strokes in ms, without those of the grace notes before them."""
    on: dict[tuple[int, Fraction, Surface], PlacedHit] = {}
    for each in placed:
        where = each.bar, each.onset, base(each.hit.surface)
        if where not in on or each.hit.velocity > on[where].hit.velocity:
            on[where] = each
    return [each.off for each in on.values()]


def stroke_at(hits: Sequence[TimedHit], kit: Kit, touch: TouchLevels) -> AtOnce:
    """The stroke of all hits at one place: the first ones on a drum are its grace notes."""
    on: dict[Surface, list[TimedHit]] = {}
    for hit in sorted(hits):
        on.setdefault(base(hit.surface), []).append(hit)
    return at_once((_caught(drum) for drum in on.values()), kit, touch)


def _caught(hits: Sequence[TimedHit]) -> Caught:
    """What is finer than any count is written as grace notes too: better so than lost."""
    main = max(hits, key=lambda hit: hit.velocity)
    graces = len(hits) - 1 if main.surface not in FEET else 0
    return Caught(main.surface, main.velocity, GRACED[min(graces, len(GRACED) - 1)])
