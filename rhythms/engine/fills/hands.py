"""The sticking of least effort for a fill whose hands are open."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from rhythms.engine.fills.fill import HANDS, Fill, other_hand
from rhythms.engine.fills.limbs import LimbHit, hits_at, move
from rhythms.engine.kits.drum_kit import Kit

#: All parts of effort grow with the square of the tempo: the best hands are the same at any.
_TEMPO = 60.0
_DIGITS = 9


class _Cost(NamedTuple):
    """Effort first; then fewer repeats of one hand; then the leading hand first."""

    effort: float
    repeats: int
    weak_starts: int

    def plus(self, effort: float, repeats: int, weak_starts: int) -> _Cost:
        return _Cost(
            round(self.effort + effort, _DIGITS),
            self.repeats + repeats,
            self.weak_starts + weak_starts,
        )


#: Where each hand struck last, R then L, and the hand of the last stroke.
_State = tuple[LimbHit | None, LimbHit | None, str | None]


@lru_cache(maxsize=1024)
def with_hands(fill: Fill, kit: Kit) -> Fill:
    """``fill`` with its open hands filled in by the sticking of least effort; fixed ones stay.

    Equivalent to trying every sticking and keeping the one of least effort, worked out note by
    note: the effort to come depends only on where each hand struck last.
    """
    if all(stroke.limb is not None for stroke in fill.strokes):
        return fill
    best: dict[_State, tuple[_Cost, tuple[str, ...]]] = {(None, None, None): (_Cost(0.0, 0, 0), ())}
    for index in range(len(fill.strokes)):
        best = _extended(best, fill, index, kit)
    _, limbs = min(best.values())
    strokes = zip(fill.strokes, limbs, strict=True)
    return Fill(fill.bar, tuple(stroke._replace(limb=limb) for stroke, limb in strokes))


def _extended(
    best: dict[_State, tuple[_Cost, tuple[str, ...]]], fill: Fill, index: int, kit: Kit
) -> dict[_State, tuple[_Cost, tuple[str, ...]]]:
    after: dict[_State, tuple[_Cost, tuple[str, ...]]] = {}
    fixed = fill.strokes[index].limb
    plays = [
        (limb, list(hits_at(fill, index, limb))) for limb in (HANDS if fixed is None else (fixed,))
    ]
    for state, (cost, limbs) in best.items():
        for limb, hits in plays:
            reached, effort = _play(state, hits, limb, kit)
            total = cost.plus(
                effort,
                int(limb in HANDS and limb == state[2]),
                int(limb in HANDS and state[2] is None and limb != kit.leading_hand),
            )
            found = (total, (*limbs, limb))
            if reached not in after or found < after[reached]:
                after[reached] = found
    return after


def _play(
    state: _State, hits: list[tuple[str, LimbHit]], limb: str, kit: Kit
) -> tuple[_State, float]:
    if limb not in HANDS:
        return state, 0.0
    last = {"R": state[0], "L": state[1]}
    effort = 0.0
    for hand, hit in hits:
        origin = last[hand]
        if origin is not None:
            effort += move(origin, hit, hand, last[other_hand(hand)], kit).load(_TEMPO)
        last[hand] = hit
    return (last["R"], last["L"], limb), effort
