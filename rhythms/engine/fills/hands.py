"""Which hand plays what where a fill leaves it open: as it is taught, or with least effort."""

from __future__ import annotations

from dataclasses import replace
from enum import StrEnum
from functools import lru_cache
from typing import NamedTuple

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.bars.grid_slots import BarGrid
from rhythms.engine.fills.fill import HANDS, Fill, Stroke, other_hand, with_hand
from rhythms.engine.fills.limbs import (
    HandHits,
    HandPlaces,
    LimbHit,
    hand_hits_at,
    move,
    moves_of,
)
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.kit_layout import crossed_at_once

#: All parts of effort grow with the square of the tempo: the best hands are the same at any.
_TEMPO = 60.0
_DIGITS = 9


class StickingStyle(StrEnum):
    """How open hands are filled in."""

    #: Hand to hand by the grid from the leading hand; another hand only where a move would not
    #: fit at the tempo.
    AS_TAUGHT = "as taught"
    #: The same where eighths are not alternated: the leading hand has every one.
    LEAD_ON_EIGHTHS = "lead on every eighth"
    LEAST_EFFORT = "least effort"
    NONE_PRINTED = "none printed"


class _Cost(NamedTuple):
    """What is made little, in this order.

    As taught: moves that do not fit, then hands that leave the grid. Always: effort; then fewer
    repeats of one hand; then the leading hand first.
    """

    too_late: int
    off_grid: int
    effort: float
    repeats: int
    weak_starts: int

    def plus(self, other: _Cost) -> _Cost:
        return _Cost(
            self.too_late + other.too_late,
            self.off_grid + other.off_grid,
            round(self.effort + other.effort, _DIGITS),
            self.repeats + other.repeats,
            self.weak_starts + other.weak_starts,
        )


#: Where each hand struck last, R then L, and the hand of the last stroke, _BOTH for two at once.
_State = tuple[LimbHit | None, LimbHit | None, str | None]
_Best = dict[_State, tuple[_Cost, tuple[str, ...]]]

_NOTHING = _Cost(0, 0, 0.0, 0, 0)
_BOTH = "both"

#: The styles that go hand to hand by the grid.
TAUGHT = (StickingStyle.AS_TAUGHT, StickingStyle.LEAD_ON_EIGHTHS)


@lru_cache(maxsize=256)
def grid_hands(
    bar: Bar, kit: Kit, sticking: StickingStyle = StickingStyle.AS_TAUGHT
) -> tuple[str, ...]:
    """The hand of each sounded note, hand to hand by the grid from the leading hand."""
    lead, weak = kit.leading_hand, other_hand(kit.leading_hand)
    grid = BarGrid(bar)
    on_eighths = sticking is StickingStyle.LEAD_ON_EIGHTHS
    return tuple(
        lead if strong else weak
        for strong in (grid.strong_on_eighths if on_eighths else grid.strong)
    )


def with_hands(fill: Fill, kit: Kit, feel: Feel = STRAIGHT) -> Fill:
    """``fill`` with its open hands filled in by the sticking of least effort; fixed ones stay.

    Equivalent to trying every sticking and keeping the one of least effort, worked out note by
    note: the effort to come depends only on where each hand struck last.
    """
    style, heard = StickingStyle.LEAST_EFFORT, feel.in_meter(fill.bar.meter)
    return _over_its_feet(fill, _filled_in(fill, kit, None, style, heard))


def as_taught(
    fill: Fill,
    kit: Kit,
    tempo: float,
    sticking: StickingStyle = StickingStyle.AS_TAUGHT,
    feel: Feel = STRAIGHT,
) -> Fill:
    """``fill`` with its open hands filled in hand to hand by the grid; fixed ones stay.

    A hand leaves the grid only where a move would not fit at ``tempo``, quarters a minute, between
    strokes where they fall by ``feel``, and as few as possible do; among equals it is least effort.
    Equivalent to trying every sticking.
    """
    heard = feel.in_meter(fill.bar.meter)
    return _over_its_feet(fill, _filled_in(fill, kit, tempo, sticking, heard))


def stuck(
    fill: Fill, kit: Kit, tempo: float, sticking: StickingStyle, feel: Feel = STRAIGHT
) -> Fill:
    """``fill`` with the hands that are printed at ``tempo``; with none printed as it is."""
    if sticking is StickingStyle.NONE_PRINTED:
        return fill
    if sticking in TAUGHT:
        return as_taught(fill, kit, tempo, sticking, feel)
    return with_hands(fill, kit, feel)


def off_the_grid(
    fill: Fill, played: Fill, kit: Kit, sticking: StickingStyle = StickingStyle.AS_TAUGHT
) -> tuple[int, ...]:
    """The notes with an open hand in ``fill`` that ``played`` gives to the hand off the grid."""
    taught = grid_hands(fill.bar, kit, sticking)
    return tuple(
        note
        for note, (opened, stroke, hand) in enumerate(
            zip(fill.strokes, played.strokes, taught, strict=True)
        )
        if opened.limb is None and not opened.both_hands and stroke.limb not in (None, hand)
    )


def fitting_as_taught(
    fill: Fill, kit: Kit, tempo: float, feel: Feel = STRAIGHT
) -> tuple[Fill | None, int]:
    """``as_taught`` where all its moves fit at ``tempo``, else None; and how many strokes it took
    to find out, each tried from each place of the hands.
    """
    heard = feel.in_meter(fill.bar.meter)
    played, tried = _fitting(fill, kit, tempo, StickingStyle.AS_TAUGHT, heard)
    return played and _over_its_feet(fill, played), tried


def _over_its_feet(fill: Fill, played: Fill) -> Fill:
    """What is kept of equal strokes may have been found over other feet that keep going."""
    return played if played.ostinato == fill.ostinato else replace(played, ostinato=fill.ostinato)


@lru_cache(maxsize=2048)
def _filled_in(
    fill: Fill, kit: Kit, taught_at: float | None, sticking: StickingStyle, feel: Feel
) -> Fill:
    if all(stroke.limb is not None for stroke in fill.strokes):
        return fill
    if taught_at:
        fitting, _ = _fitting(fill, kit, taught_at, sticking, feel)
        if fitting is not None:
            return fitting
    best, _ = _searched(fill, kit, taught_at, sticking, feel, None)
    return _with_limbs(fill, best)


@lru_cache(maxsize=2048)
def _fitting(
    fill: Fill, kit: Kit, tempo: float, sticking: StickingStyle, feel: Feel
) -> tuple[Fill | None, int]:
    leaving = sum(stroke.limb is None for stroke in fill.strokes)
    if not leaving:
        fits = all(made.load(tempo) <= 1 for made in moves_of(fill, kit, feel))
        return fill if fits else None, len(fill.strokes)
    # The grid's own hands are best where they fit; else as few others as do. Of two hands at once
    # the grid says nothing.
    tried = len(fill.strokes)
    if not any(stroke.both_hands for stroke in fill.strokes):
        by_grid = tuple(
            stroke.limb or hand
            for stroke, hand in zip(fill.strokes, grid_hands(fill.bar, kit, sticking), strict=True)
        )
        played = _with_limbs(fill, {(None, None, None): (_NOTHING, by_grid)})
        if all(made.load(tempo) <= 1 for made in moves_of(played, kit, feel)):
            return played, tried
    for most in (each for each in (1, 4, 16, leaving) if each <= leaving):
        best, more = _searched(fill, kit, tempo, sticking, feel, most)
        tried += more
        if best:
            return _with_limbs(fill, best), tried
    return None, tried


def _searched(
    fill: Fill,
    kit: Kit,
    tempo: float | None,
    sticking: StickingStyle,
    feel: Feel,
    most_off_grid: int | None,
) -> tuple[_Best, int]:
    """The best hands for each place that they can end in, and how many strokes were tried.

    With ``most_off_grid`` no more of them, and nothing that does not fit.
    """
    grid = grid_hands(fill.bar, kit, sticking) if tempo else ()
    best: _Best = {(None, None, None): (_NOTHING, ())}
    tried = 0
    for index in range(len(fill.strokes)):
        tried += len(best)
        taught = (grid[index], tempo) if tempo else None
        best = _extended(best, fill, index, kit, feel, taught)
        if most_off_grid is not None:
            best = {
                state: (cost, limbs)
                for state, (cost, limbs) in best.items()
                if not cost.too_late and cost.off_grid <= most_off_grid
            }
    return best, tried


def _with_limbs(fill: Fill, best: _Best) -> Fill:
    _, limbs = min(best.values())
    strokes = zip(fill.strokes, limbs, strict=True)
    handed = tuple(with_hand(stroke, limb) for stroke, limb in strokes)
    return Fill(fill.bar, handed, fill.ostinato)


def _extended(
    best: _Best, fill: Fill, index: int, kit: Kit, feel: Feel, taught: tuple[str, float] | None
) -> _Best:
    after: _Best = {}
    fixed, both = fill.strokes[index].limb, fill.strokes[index].both_hands
    may_play = _open_hands(fill.strokes[index], kit) if fixed is None else (fixed,)
    plays = [(limb, hand_hits_at(fill, index, limb, feel)) for limb in may_play]
    for state, (cost, limbs) in best.items():
        for limb, hits in plays:
            reached, effort, too_late = _play(state, hits, limb, kit, taught[1] if taught else None)
            alone = limb in HANDS and not both
            total = cost.plus(
                _Cost(
                    too_late,
                    int(alone and taught is not None and fixed is None and limb != taught[0]),
                    effort,
                    int(alone and limb == state[2]),
                    int(alone and state[2] is None and limb != kit.leading_hand),
                )
            )
            found = (total, (*limbs, limb))
            if reached not in after or found < after[reached]:
                after[reached] = found
    return after


def _open_hands(stroke: Stroke, kit: Kit) -> tuple[str, ...]:
    """Either hand; of two at once those that do not cross."""
    if not stroke.both_hands:
        return HANDS
    other, left_handed = stroke.beside[0].surface, kit.left_handed
    return tuple(
        hand
        for hand in HANDS
        if not crossed_at_once(hand, stroke.surface, other, left_handed=left_handed)
    )


def _play(
    state: _State, hits: tuple[HandHits, HandPlaces], limb: str, kit: Kit, tempo: float | None
) -> tuple[_State, float, int]:
    """Where the hands are then, what it takes, and how many moves do not fit at ``tempo``."""
    if limb not in HANDS:
        return state, 0.0, 0
    last = {"R": state[0], "L": state[1]}
    struck, at_once = hits
    effort, too_late = 0.0, 0
    for hand, hit in struck:
        origin = last[hand]
        if origin is not None:
            made = move(origin, hit, hand, (at_once or last)[other_hand(hand)], kit)
            effort += made.load(_TEMPO)
            too_late += tempo is not None and made.load(tempo) > 1
        last[hand] = hit
    return (last["R"], last["L"], _BOTH if at_once else limb), effort, too_late
