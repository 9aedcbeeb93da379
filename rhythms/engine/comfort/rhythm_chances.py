"""What somebody without habits of their own would strike on a rhythm: as drummers play first.

The rhythm is the student's; where its strokes go is drawn from the prior, whose players count
alike here. Worked out once a rhythm, and small enough to be kept.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import Any

import numpy as np

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.writing import Event
from rhythms.engine.comfort.amounts import amounts
from rhythms.engine.comfort.hand_moves import Pair, hand_moves
from rhythms.engine.comfort.traits import Trait, traits
from rhythms.engine.errors import EngineError
from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.prior.human_prior import Prior, human_prior
from rhythms.engine.prior.weighted_space import WeightedSpace
from rhythms.engine.rules.rule_list import RuleSet
from rhythms.engine.space.fill_space import FillSpace

#: So many draws stand for all that drummers would play on a rhythm, and at least so many for all
#: that they would play on a few.
DRAWN, DRAWN_IN_ALL = 40, 400
#: Kinds of traits that hang on where strokes go; the others are the rhythm's or the feet's.
OF_SURFACES = frozenset(
    (
        "walk down",
        "walk up",
        "colours",
        "anchor",
        "move",
        "end",
        "start",
        "use",
        "surfaces",
        "drums",
        "stays",
        "direction",
        "repetition",
    )
)


@dataclass(frozen=True)
class RhythmChances:
    """On one rhythm: the share of fills with each trait, or the mean of an amount, and the share
    of each move from drum to drum among all moves."""

    traits: dict[Trait, float]
    moves: dict[Pair, float]

    def to_json(self) -> list[Any]:
        """``[[[kind, words, mean], …], [[origin, target, share], …]]``."""
        return [
            [[*trait, mean] for trait, mean in self.traits.items()],
            [[*map(str, pair), share] for pair, share in self.moves.items()],
        ]

    @classmethod
    def from_json(cls, data: list[Any]) -> RhythmChances:
        """The inverse of ``to_json``."""
        found, moves = data
        return cls(
            {Trait(kind, words): mean for kind, words, mean in found},
            {(Surface(origin), Surface(target)): share for origin, target, share in moves},
        )


#: What gives the chances of a fill's rhythm on a kit, by so many draws; None where nothing can be
#: said.
ChancesOf = Callable[[Fill, Kit, int], RhythmChances | None]


def even_prior(without: str = "") -> Prior:
    """The prior with each of its players counting alike; ``without`` the one of this name."""
    prior = human_prior()
    players = tuple(one._replace(fills=1) for one in prior.players if one.name != without)
    return replace(prior, players=players)


def rhythm_of(fill: Fill) -> Bar | None:
    """What the hands play when, with rests where feet play alone; None where the hands rest."""
    notes = zip(fill.bar.sounded, fill.strokes, strict=True)
    events = [Event(note.onset, rest=stroke.by_foot) for note, stroke in notes]
    if all(event.rest for event in events):
        return None
    start = [] if not events[0].onset else [Event(Fraction(0), rest=True)]
    return Bar.from_events(fill.bar.meter, start + events)


def draws_for(rhythms: int) -> int:
    """How many draws on each of so many rhythms are enough."""
    return max(DRAWN, -(-DRAWN_IN_ALL // max(1, rhythms)))


def rhythm_chances(fill: Fill, kit: Kit, drawn: int = DRAWN) -> RhythmChances | None:
    """The chances of the fill's rhythm by all players of the prior; kept as long as asked for."""
    bar = rhythm_of(fill)
    return None if bar is None else _drawn(bar, kit, drawn, "")


def chances_without(player: str) -> ChancesOf:
    """The same without one player of the prior: for whoever is to be held against the others."""

    def chances(fill: Fill, kit: Kit, drawn: int) -> RhythmChances | None:
        bar = rhythm_of(fill)
        return None if bar is None else _drawn(bar, kit, drawn, player)

    return chances


@lru_cache(maxsize=1024)
def _drawn(bar: Bar, kit: Kit, number: int, without: str) -> RhythmChances | None:
    try:
        space = WeightedSpace(FillSpace(bar, RuleSet(()), kit), even_prior(without))
        graph = space.graph(1.0)
    except EngineError:
        return None
    drawn = space.fills(space.phrased(graph, number, 1.0, np.random.default_rng(0)))
    found, moves = Counter[Trait](), Counter[Pair]()
    amounts_of = dict[Trait, list[float]]()
    for fill in drawn:
        found.update(trait for trait in traits(fill) if trait.kind in OF_SURFACES)
        for trait, value in amounts(fill, OF_SURFACES):
            amounts_of.setdefault(trait, []).append(value)
        moves.update(hand_moves(fill))
    shares = {trait: times / len(drawn) for trait, times in found.items()}
    means = {trait: sum(values) / len(values) for trait, values in amounts_of.items()}
    total = max(1, moves.total())
    return RhythmChances(shares | means, {pair: times / total for pair, times in moves.items()})
