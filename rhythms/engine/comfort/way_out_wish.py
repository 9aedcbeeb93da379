"""How fills are drawn that lead out of a comfort zone: its moves rarer, and one thing another."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import exp, log

from rhythms.engine.bars.bar import Bar
from rhythms.engine.comfort.habits import MoveMade
from rhythms.engine.comfort.one_change import OneChange, Step
from rhythms.engine.comfort.traits import Trait
from rhythms.engine.comfort.zone import Zone
from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.surfaces import FEET, Surface, base
from rhythms.engine.prior.rarer_steps import RarerSteps

#: A move weighs less in proportion to how often it is made: one over its share, counted from so
#: much on, to a power. Of trials by `real_players`: what players make most is to come clearly less
#: often, in fills that are still fills of drummers, and the snare is not to be left.
RARELY, POWER = 0.015, 0.7
#: Staying on a drum is nobody's habit: so much of what staying weighs less is given back to staying
#: on any drum, so that fills stay as often as drummers' do, elsewhere.
STAYING = 0.6


@dataclass(frozen=True)
class WayOutWish:
    """The share of each move of the hands that is made, by how much it counts; and what is changed.

    Made so by `of_zone`.
    """

    moves: tuple[tuple[Step, float], ...]
    change: OneChange

    @classmethod
    def of_zone(cls, zone: Zone) -> WayOutWish:
        """From a zone: all its moves, and what there is more of than with others, what they fall
        back on before what they do as well.
        """
        more = sorted(
            (fact for fact in zone.facts if fact.is_more),
            key=lambda fact: not fact.keeps_coming_back,
        )
        return cls.of(zone.moves, (fact.trait for fact in more))

    @classmethod
    def of(cls, moves: Iterable[MoveMade], standing_out: Iterable[Trait]) -> WayOutWish:
        """From all moves of a zone, and the traits there is more of than with others."""
        by_hand = [move for move in moves if not {move.origin, move.target} & {*FEET}]
        total = sum(move.share for move in by_hand) or 1.0
        shares: dict[Step, float] = {
            (move.origin, move.target): move.share / total for move in by_hand
        }
        counted: dict[Step, float] = {
            (move.origin, move.target): _counted(move.share / total, move.expected)
            for move in by_hand
        }
        return cls(tuple(counted.items()), OneChange.of(standing_out, shares, counted))

    def rarer_steps(self, bar: Bar) -> RarerSteps:
        """What each step weighs in a fill of a bar."""
        weights = {step: (1 + share / RARELY) ** -POWER for step, share in self.moves}
        staying = self._of_staying(weights) ** -STAYING
        for surface in Surface:
            if base(surface) == surface and surface not in FEET:
                weights[surface, surface] = weights.get((surface, surface), 1.0) * staying
        return RarerSteps(weights, self.change.steps(bar))

    def _of_staying(self, weights: Mapping[Step, float]) -> float:
        """What staying weighs where they stay, on average (the geometric mean)."""
        stays = [(step, share) for step, share in self.moves if step[0] == step[1]]
        total = sum(share for _, share in stays)
        return exp(sum(share * log(weights[step]) for step, share in stays) / total) if total else 1

    def says_of(self, fill: Fill, whose: str = "Their") -> str:
        """``Their ending, elsewhere.`` where that is so of a fill; else nothing."""
        if not self.change.is_made_in(fill):
            return ""
        said = self.change.words(whose)
        return f"{said[0].upper()}{said[1:]}."


def _counted(share: float, expected: float) -> float:
    """A share, up to twice of it where others make the move less, less of it where more."""
    return 2 * share * share / (share + expected) if share else 0.0
