"""What stands out, in the sentences a teacher would say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from rhythms.engine.comfort.clusters import Cluster
from rhythms.engine.comfort.expectation import SAMPLE, Given
from rhythms.engine.comfort.playing import Playing, by_take, resampled
from rhythms.engine.comfort.traits import Trait, traits
from rhythms.engine.comfort.variety_estimate import HELD, TIMES
from rhythms.engine.space.fill_space import FillSpace

#: A trait is worth a sentence where at least so much of the time is given to it, and so much
#: more of it than by chance.
LEAST_SHARE, LEAST_EXCESS = 0.6, 0.25
MOST_SENTENCES = 3
#: One fill, or two, that so much of the time goes to are the first thing to say.
MUCH = 0.65
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_KINDS = ("walk down", "walk up", "colours", "anchor", "move", "end", "start")


@dataclass(frozen=True)
class StandoutTrait:
    """A trait with its part of the time, and the part it would have by chance."""

    trait: Trait
    share: float
    expected: float

    @property
    def excess(self) -> float:
        """How much more than by chance."""
        return self.share - self.expected

    @property
    def sentence(self) -> str:
        """``Four of five fills walk down the toms from beat 3.``"""
        return f"{of_fills(self.share)} {self.trait.words}."


def sentences(groups: Sequence[Cluster], standouts: Sequence[StandoutTrait]) -> tuple[str, ...]:
    """Sentences on what stands out, the most characteristic first; none where nothing does.

    ``groups`` are clusters of which one or two may take most of the time.
    """
    found = [*_favourites(groups), *(one.sentence for one in standouts)]
    return tuple(found[:MOST_SENTENCES])


def standout_traits(playing: Playing, given: Given, seed: int = 0) -> list[StandoutTrait]:
    """The traits that stand out, one of a kind, those furthest from chance first."""
    of_kinds = [traits(kind) for kind in playing.kinds]
    known = list(dict.fromkeys(trait for found in of_kinds for trait in found))
    rows = np.array([[trait in found for trait in known] for found in of_kinds], dtype=float)
    of_takes, seconds = by_take(playing, rows[playing.kind_of]), playing.seconds_by_take.sum(axis=1)
    drawn = resampled(len(playing.takes), TIMES, seed)
    again = (drawn @ of_takes) / (drawn @ seconds)[:, None]
    lows = np.quantile(again, (1 - HELD) / 2, axis=0)
    shares = of_takes.sum(axis=0) / seconds.sum()
    by_chance = given.mean(playing, _traits_of_space)
    found = [
        StandoutTrait(trait, float(share), by_chance.get(trait, 0.0))
        for trait, share, low in zip(known, shares, lows, strict=True)
        if low > by_chance.get(trait, 0.0)
    ]
    return _one_of_a_kind(
        [one for one in found if one.share >= LEAST_SHARE and one.excess >= LEAST_EXCESS]
    )


def _one_of_a_kind(found: list[StandoutTrait]) -> list[StandoutTrait]:
    best: dict[str, StandoutTrait] = {}
    # Of traits of about as many fills, the more specific kind goes first.
    for standout in sorted(found, key=lambda one: (-round(one.excess, 1), _rank(one))):
        best.setdefault(standout.trait.kind, standout)
    return list(best.values())


def _rank(standout: StandoutTrait) -> int:
    return _KINDS.index(standout.trait.kind)


def _traits_of_space(space: FillSpace) -> dict[Trait, float]:
    sample = space.sample(min(SAMPLE, space.size), seed=0)
    found: dict[Trait, float] = {}
    for fill in sample:
        for trait in traits(fill):
            found[trait] = found.get(trait, 0.0) + 1 / len(sample)
    return found


def _favourites(groups: Sequence[Cluster]) -> list[str]:
    first, second = ([group.share for group in groups] + [0.0, 0.0])[:2]
    if first >= MUCH:
        return [f"{of_fills(first)} are one and the same, or nearly."]
    if first + second >= MUCH:
        return [f"{of_fills(first + second)} are one of the same two, or nearly."]
    return []


def of_fills(share: float) -> str:
    """``All fills``, ``Nearly all fills``, ``Four of five fills``, ``Half of the fills``."""
    if share > 0.995:
        return "All fills"
    if share > 0.93:
        return "Nearly all fills"
    near = Fraction(share).limit_denominator(5)
    if near == 1:
        return "Nine of ten fills"
    if near == Fraction(1, 2):
        return "Half of the fills"
    return f"{_NUMBERS[near.numerator].capitalize()} of {_NUMBERS[near.denominator]} fills"
