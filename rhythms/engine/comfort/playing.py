"""What a student played, ready to be looked at: fills, weighted by time, in takes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from itertools import islice
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Fill
from rhythms.engine.fills.likeness import likeness_table
from rhythms.engine.space.fill_space import FillSpace

#: Fewer takes say nothing. From here on intervals hold the truth about nine times in ten, as
#: the tests measure on students whose habits are known.
FEWEST = 8
#: The latest different fills that are compared with each other, and the latest times that any was
#: played; older ones are left out.
MOST_KINDS, MOST_PLAYS = 160, 5_000

Floats = NDArray[np.float64]


class PlayedFill(NamedTuple):
    """A fill as it was played: on which day, for how many seconds, in which take.

    ``space`` holds the fills that were asked for; None where the student was free. ``asked`` is
    the fill it was meant to be; None where none was meant, or what was meant was not found in the
    take. ``spread`` in ms is how far its strokes were from steady; None where nobody measured.
    """

    fill: Fill
    day: date
    seconds: float
    take: str
    space: FillSpace | None = None
    asked: Fill | None = None
    spread: float | None = None


@dataclass(frozen=True)
class Playing:
    """Fills as they were played, in any order; the fills of one take stand or fall together.

    Hands are left out of comparisons: a kit does not say which hand struck.
    """

    plays: tuple[PlayedFill, ...]

    @classmethod
    def of(cls, plays: Iterable[PlayedFill]) -> Playing:
        """What is looked at of plays in any order."""
        return cls.latest(sorted(plays, key=lambda one: one.day, reverse=True))

    @classmethod
    def latest(cls, plays: Iterable[PlayedFill]) -> Playing:
        """The same of plays that come the latest day first; those behind are not asked for.

        Up to ``MOST_KINDS`` different fills and ``MOST_PLAYS``; those without time are none.
        """
        kinds: set[Fill] = set()
        taken = []
        for play in islice(plays, MOST_PLAYS):
            kinds.add(play.fill.without_hands())
            if len(kinds) > MOST_KINDS:
                break
            if play.seconds > 0 and play.fill.strokes:
                taken.append(play)
        return cls(tuple(reversed(taken)))

    @cached_property
    def takes(self) -> tuple[str, ...]:
        """The takes, each once."""
        return tuple(dict.fromkeys(play.take for play in self.plays))

    @property
    def is_enough(self) -> bool:
        """Whether there are enough takes to conclude anything."""
        return len(self.takes) >= FEWEST

    @property
    def seconds(self) -> float:
        """How long it all lasted."""
        return sum(play.seconds for play in self.plays)

    @cached_property
    def kinds(self) -> tuple[Fill, ...]:
        """The different fills, hands aside, those first played first."""
        return tuple(dict.fromkeys(play.fill.without_hands() for play in self.plays))

    @cached_property
    def alike(self) -> Floats:
        """The likeness of each kind to each."""
        return likeness_table(self.kinds)

    @cached_property
    def kind_of(self) -> NDArray[np.int64]:
        """The place of each play's fill among the kinds."""
        places = {kind: place for place, kind in enumerate(self.kinds)}
        return np.array([places[play.fill.without_hands()] for play in self.plays], dtype=np.int64)

    @cached_property
    def take_of(self) -> NDArray[np.int64]:
        """The place of each play's take among the takes."""
        places = {take: place for place, take in enumerate(self.takes)}
        return np.array([places[play.take] for play in self.plays], dtype=np.int64)

    @cached_property
    def weights(self) -> Floats:
        """The seconds of each play."""
        return np.array([play.seconds for play in self.plays])

    @cached_property
    def seconds_of_kinds(self) -> Floats:
        """How long each kind was played."""
        return np.asarray(np.bincount(self.kind_of, self.weights, len(self.kinds)), dtype=float)

    @cached_property
    def seconds_by_take(self) -> Floats:
        """How long each kind was played in each take: takes by kinds."""
        return by_take(self, np.eye(len(self.kinds))[self.kind_of])

    def between(self, first: date, last: date) -> Playing:
        """What was played on these days, both included."""
        return Playing(tuple(play for play in self.plays if first <= play.day <= last))


def by_take(playing: Playing, of_plays: Floats) -> Floats:
    """Sum rows of numbers, one row a play, over each take, weighted by time: takes by columns."""
    summed = np.zeros((len(playing.takes), of_plays.shape[1]))
    np.add.at(summed, playing.take_of, of_plays * playing.weights[:, None])
    return summed


def resampled(takes: int, times: int, seed: int) -> Floats:
    """How often each take is drawn where as many takes are drawn with replacement: times by takes.

    The nonparametric bootstrap of Efron (1979). A take is drawn whole, since the fills in it
    were played in one breath.
    """
    random = np.random.default_rng([seed, takes])
    drawn = random.multinomial(takes, [1 / takes] * takes, times)
    return np.asarray(drawn, dtype=np.float64)
