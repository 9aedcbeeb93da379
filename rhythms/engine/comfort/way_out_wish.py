"""How fills are drawn that lead out of a comfort zone: its moves rarer, and one thing another."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import exp

from rhythms.engine.bars.bar import Bar
from rhythms.engine.comfort.habits import MoveMade
from rhythms.engine.comfort.one_change import OneChange, Step
from rhythms.engine.comfort.traits import Trait
from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.surfaces import FEET, Surface, base
from rhythms.engine.prior.rarer_steps import RarerSteps

#: How strongly moves are avoided, as a power of e a share of all moves; no share counts as more
#: than so much, or nothing would stay on the snare.
AVERSION, MOST = 8.0, 0.1
#: Staying on a drum is nobody's habit: so much of what staying weighs less is given back to staying
#: on any drum, so that fills stay as often as drummers' do, elsewhere.
STAYING = 0.75


@dataclass(frozen=True)
class WayOutWish:
    """The share of each move of the hands that is made, by how much it counts; and what is changed.

    Made so by `of`.
    """

    moves: tuple[tuple[Step, float], ...]
    change: OneChange

    @classmethod
    def of(cls, moves: Iterable[MoveMade], standing_out: Iterable[Trait]) -> WayOutWish:
        """From all moves of a zone, and the traits there is more of than with others."""
        by_hand = [move for move in moves if not {move.origin, move.target} & {*FEET}]
        total = sum(move.share for move in by_hand) or 1.0
        shares: dict[Step, float] = {
            (move.origin, move.target): _counted(move.share / total, move.expected)
            for move in by_hand
        }
        return cls(tuple(shares.items()), OneChange.of(standing_out, shares))

    def rarer_steps(self, bar: Bar) -> RarerSteps:
        """What each step weighs in a fill of a bar."""
        weights = {step: exp(-AVERSION * min(share, MOST)) for step, share in self.moves}
        staying = exp(AVERSION * STAYING * self._of_staying)
        for surface in Surface:
            if base(surface) == surface and surface not in FEET:
                weights[surface, surface] = weights.get((surface, surface), 1.0) * staying
        return RarerSteps(weights, self.change.steps(bar))

    @property
    def _of_staying(self) -> float:
        """The share by which staying is avoided where they stay, on average."""
        stays = [share for (origin, target), share in self.moves if origin == target]
        return sum(share * min(share, MOST) for share in stays) / (sum(stays) or 1.0)

    def says_of(self, fill: Fill, whose: str = "Their") -> str:
        """``Their ending, elsewhere.`` where that is so of a fill; else nothing."""
        if not self.change.is_made_in(fill):
            return ""
        said = self.change.words(whose)
        return f"{said[0].upper()}{said[1:]}."


def _counted(share: float, expected: float) -> float:
    """A share, up to twice of it where others make the move less, less of it where more."""
    return 2 * share * share / (share + expected) if share else 0.0
