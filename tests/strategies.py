"""Hypothesis strategies: random bars and fills."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import cache
from itertools import permutations, product

from hypothesis import strategies as st

from rhythms.engine import Bar, Beat, Fill, Meter, Stroke, Surface
from rhythms.engine.bars.writing import Event
from rhythms.engine.fills.fill import DYNAMICS, ORNAMENTS, Hit, stroke_of
from rhythms.engine.fills.ostinato import FootHit, Ostinato, ostinato
from rhythms.engine.kits.surfaces import FEET, PLAIN, base

#: The meters every part of the engine must handle.
METERS = (
    *("2/4", "3/4", "4/4", "5/4", "7/4", "6/8", "7/8", "9/8", "12/8"),
    *("5/8", "7/8 (3+2+2)", "5/4 (3+2)", "9/8 (2+2+2+3)"),
)
#: Parts of a quarter as a whole: eighths, 16ths, triplets, sextuplets, 32nds, quintuplets.
QUARTER_GRIDS = (1, 2, 4, 3, 6, 8, 5)
#: Parts of half a quarter, where each half has its own.
HALF_GRIDS = (1, 2, 3, 4)
#: Parts of an eighth, each with its own, in meters that count eighths; most are in one or two.
EIGHTH_GRIDS = (1, 2, 1, 2, 3, 4)
HAND_SURFACES = tuple(surface for surface in Surface if surface not in FEET)
#: What both hands may strike at once: two drums, and stick on stick takes both.
PAIRS = [
    pair
    for pair in permutations(HAND_SURFACES, 2)
    if base(pair[0]) != base(pair[1]) and Surface.STICKS not in pair
]
HANDS_AT_ONCE = st.one_of(
    st.just(()), st.tuples(st.sampled_from(HAND_SURFACES)), st.sampled_from(PAIRS)
)
FEET_LIMBS = {Surface.BASS_DRUM: "RF", Surface.HI_HAT_FOOT: "LF"}


def meters() -> st.SearchStrategy[Meter]:
    """One of the meters above."""
    return st.sampled_from(METERS).map(Meter.parse)


@st.composite
def bars(draw: st.DrawFn, meter: str | None = None, *, coarse: bool = False) -> Bar:
    """A bar: every beat on its own grid, any of its places struck, rested or held through.

    A ``coarse`` one has nothing finer than 16ths, triplets and six in a quarter, one to a beat.
    """
    chosen = draw(meters()) if meter is None else Meter.parse(meter)
    places = [
        place for beat in chosen.beats for place in _places(draw, beat, chosen, coarse=coarse)
    ]
    return Bar.from_events(chosen, [Event(Fraction(0), *draw(_FIRST)), *_events(draw, places[1:])])


@st.composite
def bars_with_pickup(draw: st.DrawFn, meter: str | None = None) -> Bar:
    """A bar behind the last counts of another one, each beat on its own grid."""
    one = draw(meters()) if meter is None else Meter.parse(meter)
    over = one.after_pickup(draw(st.integers(1, one.count - 1)))
    places = [place for beat in over.written_beats for place in _places(draw, beat, over)]
    later = [place for place in places if place > over.opens_at]
    opening = Event(over.opens_at, *draw(_FIRST))
    return Bar.from_events(over, [Event(Fraction(0), rest=True), opening, *_events(draw, later)])


def sounding_bars(meter: str | None = None) -> st.SearchStrategy[Bar]:
    """A bar with at least one stroke."""
    return bars(meter).filter(lambda bar: bool(bar.sounded))


@st.composite
def fills(
    draw: st.DrawFn,
    meter: str | None = None,
    *,
    surfaces: Sequence[Surface] = tuple(Surface),
    ornaments: bool = True,
    together: bool = False,
    coarse: bool = False,
) -> Fill:
    """A fill on a random bar: any surface, hand, dynamic and ornament (feet have no ornaments).

    With ``together`` several limbs may strike at once.
    """
    bar = draw(bars(meter, coarse=coarse))
    alone = strokes(surfaces, ornaments=ornaments)
    stroke = st.one_of(alone, strokes_together()) if together else alone
    return Fill(bar, tuple(draw(stroke) for _ in bar.sounded))


@st.composite
def fills_of_one_bar(draw: st.DrawFn) -> dict[str, Fill]:
    """One to four fills of one random bar, by words."""
    bar, stroke = draw(bars()), strokes()
    return {
        f"fill {number}": Fill(bar, tuple(draw(stroke) for _ in bar.sounded))
        for number in range(1, draw(st.integers(1, 4)) + 1)
    }


@st.composite
def strokes(
    draw: st.DrawFn, surfaces: Sequence[Surface] = tuple(Surface), *, ornaments: bool = True
) -> Stroke:
    """One stroke; a foot surface by its foot, a hand surface by either hand or an open one."""
    return draw(draw(_of_a_surface(tuple(surfaces), ornaments)))


@cache
def _of_a_surface(
    surfaces: tuple[Surface, ...], ornaments: bool
) -> st.SearchStrategy[st.SearchStrategy[Stroke]]:
    """A surface as the strategy of its strokes: each is made once, since laws draw thousands."""
    return st.sampled_from([st.sampled_from(_strokes_on(one, ornaments)) for one in surfaces])


def _strokes_on(surface: Surface, ornaments: bool) -> list[Stroke]:
    foot = FEET_LIMBS.get(surface)
    limbs = (foot,) if foot else (None, "R", "L")
    dressing = (None, *ORNAMENTS) if ornaments and surface not in PLAIN else (None,)
    return [Stroke(surface, *rest) for rest in product(limbs, DYNAMICS, dressing)]


@st.composite
def strokes_together(draw: st.DrawFn) -> Stroke:
    """What one onset of a drum set can hold: one hand or two, with feet or feet alone."""
    hands = draw(HANDS_AT_ONCE)
    feet = draw(st.sampled_from([(), FEET[:1], FEET[1:], FEET] if hands else [FEET[:1], FEET]))
    limbs = draw(st.sampled_from([(None, None), ("R", "L"), ("L", "R")]))
    dynamic = st.sampled_from(DYNAMICS)
    hits = [
        *(Hit(surface, limb, draw(dynamic)) for surface, limb in zip(hands, limbs, strict=False)),
        *(Hit(foot, FEET_LIMBS[foot], draw(dynamic)) for foot in feet),
    ]
    dressed = len(hands) == 1 and hands[0] not in PLAIN
    ornament = draw(st.sampled_from([None, *ORNAMENTS])) if dressed else None
    return stroke_of(hits, ornament)


@st.composite
def ostinatos(draw: st.DrawFn, meter: Meter) -> Ostinato:
    """Feet that keep going in a meter: on any of the places of a bar in it, as loud as may be."""
    one = meter.one_bar
    places = [place for beat in one.beats for place in _places(draw, beat, one)]
    hits = st.builds(
        FootHit, st.sampled_from(places), st.sampled_from(FEET), st.sampled_from(DYNAMICS)
    )
    return ostinato("mine", one, draw(st.lists(hits, max_size=8)))


# Rest and accent flags; a rest has no accent.
_KINDS = ((False, False), (False, False), (False, True), (True, False))
_FIRST = st.sampled_from(_KINDS)
_LATER = st.sampled_from((None, *_KINDS))


def _places(draw: st.DrawFn, beat: Beat, meter: Meter, *, coarse: bool = False) -> list[Fraction]:
    if coarse:
        parts = draw(st.sampled_from((2, 4) if meter.in_eighths else (1, 2, 4, 3, 6)))
        return [beat.onset + Fraction(k, parts) for k in range(int(beat.length * parts))]
    if not meter.in_eighths and draw(st.booleans()):
        parts = draw(st.sampled_from(QUARTER_GRIDS))
        return [beat.onset + Fraction(k, parts) for k in range(parts)]
    apart = EIGHTH_GRIDS if meter.in_eighths else HALF_GRIDS
    starts = [beat.onset + Fraction(k, 2) for k in range(int(2 * beat.length))]
    return [
        start + Fraction(k, 2 * parts)
        for start in starts
        for parts in [draw(st.sampled_from(apart))]
        for k in range(parts)
    ]


def _events(draw: st.DrawFn, places: list[Fraction]) -> list[Event]:
    kinds = [(place, draw(_LATER)) for place in places]
    return [Event(place, *kind) for place, kind in kinds if kind is not None]
