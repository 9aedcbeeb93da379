"""What playing would look like without habits: as what a student was given has it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.comfort.playing import Playing
from rhythms.engine.fills.fill import Fill
from rhythms.engine.fills.likeness import likeness_table
from rhythms.engine.fills.variety import effective_number
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.rules.rule_list import RuleSet
from rhythms.engine.space.fill_space import FillSpace
from rhythms.engine.space.moves import expected_moves, observed_moves

#: So many fills stand for all of a space where traits are counted, and where likeness is.
SAMPLE, SMALL_SAMPLE = 60, 12
#: So many of the bars a student chose by themselves stand for all of them.
MOST_BARS = 6
#: A space in which more steps lead on than this, from any state by any stroke, stands for itself
#: by so many of its fills.
MOST_STEPS, MANY_FILLS = 10_000_000, 400

Pair = tuple[Surface, Surface]
Thing = TypeVar("Thing")


@dataclass(frozen=True)
class Given:
    """The spaces that a student was given fills of; what they play freely could be of any.

    Spaces of the same strokes over other feet are one.
    """

    spaces: tuple[FillSpace, ...]

    @classmethod
    def of(cls, spaces: Iterable[FillSpace], playing: Playing, kit: Kit) -> Given:
        """The spaces that hold fills. Without any, whatever ``kit`` allows on the bars played."""
        given: dict[Hashable, FillSpace] = {}
        for space in spaces:
            if space.size:
                given.setdefault(_strokes_of(space), space)
        if given:
            return cls(tuple(given.values()))
        bars = dict.fromkeys(kind.bar for kind in reversed(playing.kinds))
        free = [FillSpace(bar, RuleSet(()), kit) for bar in list(bars)[:MOST_BARS]]
        return cls(tuple(free))

    def shares(self, playing: Playing) -> dict[FillSpace, float]:
        """How much of the time each space was played from; free plays count for all given."""
        seconds: dict[FillSpace, float] = {}
        played = dict.fromkeys(
            [*self.spaces, *(play.space for play in playing.plays if play.space)]
        )
        first: dict[Hashable, FillSpace] = {}
        standing = {space: first.setdefault(_strokes_of(space), space) for space in played}
        for play in playing.plays:
            asked = self.spaces if play.space is None else (play.space,)
            for one in asked:
                space = standing[one]
                seconds[space] = seconds.get(space, 0.0) + play.seconds / len(asked)
        total = sum(seconds.values())
        return {space: time / total for space, time in seconds.items()}

    def mean(
        self, playing: Playing, of_space: Callable[[FillSpace], Mapping[Thing, float]]
    ) -> dict[Thing, float]:
        """The mean of something about spaces, weighted by the time they were played."""
        found: dict[Thing, float] = {}
        for space, share in self.shares(playing).items():
            for thing, value in of_space(space).items():
                found[thing] = found.get(thing, 0.0) + value * share
        return found


def _strokes_of(space: FillSpace) -> Hashable:
    """Alike for spaces of the same strokes, whatever the feet keep playing under them."""
    rules = (rule for rule in space.rule_set.rules if not rule.keeps_going(space.setting))
    return space.setting.bar, tuple(rules), space.kit, space.size


def room(given: Given, playing: Playing) -> float:
    """The effective number of different fills of somebody who plays what is given at random."""
    fills: list[Fill] = []
    weights: list[float] = []
    samples = []
    for space, share in given.shares(playing).items():
        sample = space.sample(min(SMALL_SAMPLE, space.size), seed=0)
        samples.append((len(fills), len(sample), space.size))
        fills += sample
        weights += [share / len(sample)] * len(sample)
    alike = likeness_table(fills)
    for start, size, of in samples:
        _hide_selves(alike[start : start + size, start : start + size], of)
    return effective_number(weights, alike)


def _hide_selves(alike: NDArray[np.float64], size: int) -> None:
    """Each fill of the sample stands for many: it is as much like itself as like the others."""
    drawn = len(alike)
    if size > drawn > 1:
        others = (alike.sum(axis=1) - 1) / (drawn - 1)
        np.fill_diagonal(alike, others)


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
    """The share of each move among the moves of a fill; empty where it has one stroke."""
    return _as_shares((move[1:], float(times)) for move, times in observed_moves([fill]).items())


def _as_shares(counted: Iterable[tuple[Pair, float]]) -> dict[Pair, float]:
    found: Counter[Pair] = Counter()
    for pair, times in counted:
        found[pair] += times  # type: ignore[assignment]
    total = sum(found.values())
    return {pair: times / total for pair, times in found.items()}
