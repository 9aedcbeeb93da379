"""What was given would make of playing: the fills that were asked for, and their spaces."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from rhythms.engine.comfort.hand_moves import Pair, hand_moves
from rhythms.engine.comfort.playing import PlayedFill, Playing
from rhythms.engine.comfort.trait_table import traits_of
from rhythms.engine.comfort.traits import Trait
from rhythms.engine.fills.fill import Fill
from rhythms.engine.fills.variety import effective_fills
from rhythms.engine.space.fill_space import FillSpace
from rhythms.engine.space.moves import expected_moves, observed_moves

#: So many fills stand for all of a space where traits are counted.
SAMPLE = 60
#: A space in which more steps lead on than this, from any state by any stroke, stands for itself
#: by so many of its fills.
MOST_STEPS, MANY_FILLS = 10_000_000, 400


class Expected(NamedTuple):
    """Shares of fills with a trait, and means of amounts, among so many fills; None of them drawn,
    where it is one fill that was asked for."""

    traits: Mapping[Trait, float]
    drawn: int | None = None

    def of(self, trait: Trait) -> float | None:
        """What is to be expected of a trait; of some fills no share is 0 or 1 for certain."""
        if trait.is_amount:
            return self.traits.get(trait)
        share = self.traits.get(trait, 0.0)
        return share if self.drawn is None else (share * self.drawn + 0.5) / (self.drawn + 1)


@dataclass(frozen=True)
class Given:
    """The spaces that a student was given fills of; what they play freely could be of any.

    Spaces of the same strokes over other feet are one.
    """

    spaces: tuple[FillSpace, ...]

    @classmethod
    def of(cls, spaces: Iterable[FillSpace]) -> Given:
        """The spaces that hold fills; there may be none."""
        given: dict[Hashable, FillSpace] = {}
        for space in spaces:
            if space.size:
                given.setdefault(_strokes_of(space), space)
        return cls(tuple(given.values()))

    def moves(self, play: PlayedFill) -> Mapping[Pair, float]:
        """The share of each move in what was given, as ``expected`` has it; empty for nothing."""
        if play.asked is not None:
            return moves_of_fill(play.asked)
        spaces = (play.space,) if play.space is not None else self.spaces
        found: Counter[Pair] = Counter()
        for space in spaces:
            for pair, share in moves_of_space(space).items():
                found[pair] += share / len(spaces)  # type: ignore[assignment]
        return found

    def says_something(self, plays: Iterable[PlayedFill]) -> bool:
        """Whether anything was given that these could be of."""
        return bool(self.spaces) or any(play.asked or play.space for play in plays)

    def expected(self, play: PlayedFill) -> Expected | None:
        """What was given makes of a play: the fill that was asked for, else any of a space that
        was. None where it was free, and nothing was given."""
        if play.asked is not None:
            return Expected(traits_of(play.asked))
        spaces = (play.space,) if play.space is not None else self.spaces
        if not spaces:
            return None
        return _of_spaces(spaces)


@lru_cache(maxsize=64)
def _of_spaces(spaces: tuple[FillSpace, ...]) -> Expected:
    shares = [traits_of_space(space) for space in spaces]
    known = dict.fromkeys(trait for one in shares for trait in one)
    return Expected({trait: _mean_of(trait, shares) for trait in known}, SAMPLE * len(spaces))


def _mean_of(trait: Trait, shares: Sequence[Mapping[Trait, float]]) -> float:
    if trait.is_amount:
        values = [one[trait] for one in shares if trait in one]
        return sum(values) / len(values)
    return sum(one.get(trait, 0.0) for one in shares) / len(shares)


@lru_cache(maxsize=64)
def traits_of_space(space: FillSpace) -> dict[Trait, float]:
    """The share of a space's fills with each trait, and the mean of each amount, by some fills."""
    sample = [traits_of(fill) for fill in space.sample(min(SAMPLE, space.size), seed=0)]
    known = dict.fromkeys(trait for one in sample for trait in one)
    return {trait: _mean_of(trait, sample) for trait in known}


def _strokes_of(space: FillSpace) -> Hashable:
    """Alike for spaces of the same strokes, whatever the feet keep playing under them."""
    rules = (rule for rule in space.rule_set.rules if not rule.keeps_going(space.setting))
    return space.setting.bar, tuple(rules), space.kit, space.size


def room(playing: Playing, assigned: Iterable[Fill] = ()) -> float | None:
    """The effective number of the different fills that were ``assigned``, and of those that were
    asked for; None of free playing, where none was asked for."""
    asked = [play.asked for play in playing.plays if play.asked]
    given = dict.fromkeys(fill.without_hands() for fill in (*asked, *assigned))
    return effective_fills(list(given)) if asked else None


@lru_cache(maxsize=64)
def moves_of_space(space: FillSpace) -> dict[Pair, float]:
    """The share of each move from surface to surface among the moves of a space's fills.

    Exact, but for a space that is too dear to go through.
    """
    graph = space.graph
    steps = graph.states * sum(len(layer.strokes) for layer in graph.layers)
    if steps > MOST_STEPS:
        drawn = observed_moves(space.sample(min(MANY_FILLS, space.size), seed=0))
        return _as_shares((move[1:], float(times)) for move, times in drawn.items())
    return _as_shares((move[1:], times) for move, times in expected_moves(space).items())


def moves_of_fill(fill: Fill) -> dict[Pair, float]:
    """The share of each move of the hands in a fill; empty where it has one stroke."""
    return _as_shares((pair, 1.0) for pair in hand_moves(fill))


def _as_shares(counted: Iterable[tuple[Pair, float]]) -> dict[Pair, float]:
    found: Counter[Pair] = Counter()
    for pair, times in counted:
        found[pair] += times  # type: ignore[assignment]
    total = sum(found.values())
    return {pair: times / total for pair, times in found.items()}
