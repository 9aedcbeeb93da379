"""What a student played of their own, take by take and trait by trait."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.comfort.amounts import STEADY, amounts
from rhythms.engine.comfort.playing import PlayedFill, Playing
from rhythms.engine.comfort.trait_tests import TraitStats
from rhythms.engine.comfort.traits import Trait, traits
from rhythms.engine.fills.fill import Fill

Floats = NDArray[np.float64]
#: Kinds of traits that are a rhythm's: who plays one rhythm in forty takes has one rhythm.
OF_RHYTHM = frozenset(("density", "length", "32nds", "triplets", "last", "begin"))


@dataclass(frozen=True)
class OwnPlays:
    """What shows how somebody plays: free plays, and those of assigned fills that came out as
    something else. A fill played as it was asked for shows what was asked."""

    plays: tuple[PlayedFill, ...]

    @classmethod
    def of(cls, playing: Playing) -> OwnPlays:
        """Those of a student's playing."""
        return cls(tuple(play for play in playing.plays if not _is_as_asked(play)))

    @cached_property
    def takes(self) -> tuple[str, ...]:
        """The takes they are in, each once."""
        return tuple(dict.fromkeys(play.take for play in self.plays))

    @cached_property
    def rhythms(self) -> list[Hashable]:
        """The rhythm of each play: when the hands strike."""
        return [_rhythm(play.fill) for play in self.plays]

    def values(self, of_plays: Sequence[float | None]) -> Floats:
        """A value a take: the mean of those of its plays. Takes without one are left out."""
        found: dict[str, list[float]] = {}
        for play, value in zip(self.plays, of_plays, strict=True):
            if value is not None:
                found.setdefault(play.take, []).append(value)
        return np.array([sum(values) / len(values) for values in found.values()])

    @cached_property
    def of_plays(self) -> dict[Trait, list[float | None]]:
        """Every trait of any of the plays: 1 or 0 for one that a fill has or has not, None for an
        amount that it cannot have."""
        having = [_traits_of(play) for play in self.plays]
        known = dict.fromkeys(trait for one in having for trait in one)
        return {
            trait: [one.get(trait, None if trait.is_amount else 0.0) for one in having]
            for trait in known
        }

    def stats(self, trait: Trait) -> TraitStats | None:
        """A trait over the takes; None where no fill can have any of it."""
        if trait not in self._stats:
            self._stats[trait] = self._worked_out(trait)
        return self._stats[trait]

    @cached_property
    def _stats(self) -> dict[Trait, TraitStats | None]:
        return {}

    def _worked_out(self, trait: Trait) -> TraitStats | None:
        values = self.values(self.plays_with(trait))
        if not len(values):
            return None
        stats = TraitStats.of(values)
        if trait.kind in OF_RHYTHM:
            # As many cases as there are rhythms: one in forty takes is one.
            stats = stats._replace(units=min(stats.units, len(set(self.rhythms))))
        return stats

    def all_stats(self) -> dict[Trait, TraitStats]:
        """The same of every trait that came, for others to be held against."""
        found = {trait: self.stats(trait) for trait in self.of_plays}
        return {trait: stats for trait, stats in found.items() if stats is not None}

    def plays_with(self, trait: Trait) -> list[float | None]:
        """How much of a trait each of the plays has."""
        return self.of_plays.get(trait) or [None if trait.is_amount else 0.0] * len(self.plays)


@lru_cache(maxsize=2048)
def traits_of(fill: Fill) -> Mapping[Trait, float]:
    """Every trait that a fill has, as 1, and how much of each amount; kept for the next asking."""
    return dict.fromkeys(traits(fill), 1.0) | dict(amounts(fill))


def stats_from_json(data: Iterable[Sequence[object]]) -> dict[Trait, TraitStats]:
    """``[[kind, words, units, mean, variance], …]``, as ``stats_to_json`` writes it."""
    return {Trait(*one[:2]): TraitStats(*one[2:]) for one in data}  # type: ignore[arg-type]


def stats_to_json(stats: Mapping[Trait, TraitStats]) -> list[list[object]]:
    """The inverse of ``stats_from_json``, to four places."""
    return [
        [*trait, one.units, round(one.mean, 4), round(one.variance, 4)]
        for trait, one in stats.items()
    ]


def _traits_of(play: PlayedFill) -> Mapping[Trait, float]:
    found = traits_of(play.fill)
    return found if play.spread is None else {**found, STEADY: play.spread}


def _is_as_asked(play: PlayedFill) -> bool:
    if play.asked is None:
        return False
    return traits(play.fill.without_hands()) == traits(play.asked.without_hands())


def _rhythm(fill: Fill) -> Hashable:
    notes = zip(fill.bar.sounded, fill.strokes, strict=True)
    return tuple(note.onset for note, stroke in notes if not stroke.by_foot)
