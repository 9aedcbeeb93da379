"""How easy a fill is for one student: against the most that they hold already."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.fills.fill import HANDS, Fill
from rhythms.engine.fills.hands import StickingStyle, stuck, with_hands
from rhythms.engine.fills.ostinato import Ostinato
from rhythms.engine.fills.playability import Effort, effort
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.space.moves import observed_moves

#: What a fill of nothing but moves that are new to them counts like, as a share of the most that
#: they hold; and one of nothing but hands in an order that is new. Proposals.
NEW_MOVES, NEW_HANDS = 0.3, 0.3
#: What feet that keep going count like that they do not hold under any fill; a proposal likewise.
NEW_FEET = 0.3
#: So many hands in a row are a sticking.
_HANDS_IN_A_ROW = 4


class Held(NamedTuple):
    """A fill that a student holds at a tempo, in quarters a minute, by a feel."""

    fill: Fill
    tempo: float
    feel: Feel = STRAIGHT

    def played(self, kit: Kit, sticking: StickingStyle) -> Fill:
        """The fill with the hands printed; where none are, those of least effort."""
        printed = stuck(self.fill, kit, self.tempo, sticking, self.feel)
        return with_hands(printed, kit, self.feel)


@dataclass(frozen=True)
class Holding:
    """What a student holds: ``most`` is the greatest effort a quarter, at its tempo."""

    most: float
    moves: frozenset[tuple[str, str]]
    hands: frozenset[str]

    @classmethod
    @lru_cache(maxsize=64)
    def of(cls, held: tuple[Held, ...], kit: Kit, sticking: StickingStyle) -> Holding | None:
        """None of a student who holds nothing yet. Kept: many fills are held against the same."""
        played = [one.played(kit, sticking) for one in held]
        efforts = [
            _a_quarter(effort(fill, kit, one.tempo, one.feel), fill)
            for fill, one in zip(played, held, strict=True)
        ]
        if not any(efforts):
            return None
        return cls(
            max(efforts),
            frozenset(move for fill in played for move in _moves(fill)),
            frozenset(hands for fill in played for hands in _stickings(fill)),
        )

    def strain(self, played: Fill, asked: Effort, held: Sequence[Held]) -> float:
        """What a fill with its hands asks of the student: 1 is as much as the most they hold.

        Moves, stickings and feet that they do not know count besides its effort. ``held`` is what
        this was made of: equal strokes over other feet share what is kept.
        """
        return (
            _a_quarter(asked, played) / self.most
            + NEW_MOVES * _share_unknown(_moves(played), self.moves)
            + NEW_HANDS * _share_unknown(_stickings(played), self.hands)
            + NEW_FEET * _are_new_feet(played.ostinato, held)
        )


def _a_quarter(asked: Effort, fill: Fill) -> float:
    bar = fill.bar
    return asked.total / float(bar.meter.length - bar.starts_at) if bar.sounded else 0.0


def _moves(fill: Fill) -> list[tuple[str, str]]:
    return [
        (str(move.origin), str(move.target))
        for move in observed_moves([fill]).elements()
        if move.origin != move.target
    ]


def _stickings(fill: Fill) -> list[str]:
    hands = "".join(str(stroke.limb) for stroke in fill.strokes if stroke.limb in HANDS)
    return [
        hands[start : start + _HANDS_IN_A_ROW] for start in range(len(hands) - _HANDS_IN_A_ROW + 1)
    ]


def _are_new_feet(going: Ostinato | None, held: Sequence[Held]) -> bool:
    known = (one.fill.ostinato for one in held)
    return going is not None and going.hits not in (one.hits for one in known if one)


def _share_unknown(found: Sequence[object], known: Collection[object]) -> float:
    return sum(one not in known for one in found) / len(found) if found else 0.0
