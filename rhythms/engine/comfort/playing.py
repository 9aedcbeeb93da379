"""What a student played, ready to be looked at: fills, weighted by time, in takes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from hashlib import sha256
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Fill
from rhythms.engine.fills.likeness import likeness_table
from rhythms.engine.space.fill_space import FillSpace

#: Fewer takes say nothing. From here on intervals hold the truth about nine times in ten, as
#: the tests measure on students whose habits are known.
FEWEST = 8
#: So many different fills are compared with each other, and so many times that any was played
#: looked at; of more than these takes are drawn.
MOST_KINDS, MOST_PLAYS = 320, 5_000

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


def in_draw(days: Mapping[str, date], since: date = date.min) -> list[str]:
    """Takes, with their days, in the order in which they are looked at.

    Those of the days ``since`` come first, for they are what is spoken of. Among them chance
    decides, so that where not all can be looked at, those that are come from all the time; and
    the name of a take decides chance, so that its turn stays as others come.
    """
    return sorted(days, key=lambda take: (days[take] < since, sha256(take.encode()).digest()))


@dataclass(frozen=True)
class Playing:
    """Fills as they were played, in order of time; the fills of one take stand or fall together.

    Hands are left out of comparisons: a kit does not say which hand struck. ``left_out`` are the
    days of the takes that were too many to look at.
    """

    plays: tuple[PlayedFill, ...]
    left_out: tuple[date, ...] = ()
    #: Of which this is a part: what is alike was worked out there.
    whole: Playing | None = field(default=None, compare=False, repr=False)

    @classmethod
    def of(cls, plays: Iterable[PlayedFill], since: date = date.min) -> Playing:
        """What is looked at of plays in any order; see `drawn`."""
        takes: dict[str, list[PlayedFill]] = {}
        for play in sorted(plays, key=lambda one: one.day):
            takes.setdefault(play.take, []).append(play)
        days = {take: own[0].day for take, own in takes.items()}
        return cls.drawn(days, (takes[take] for take in in_draw(days, since)), since)

    @classmethod
    def drawn(
        cls,
        days: Mapping[str, date],
        takes: Iterable[Sequence[PlayedFill]],
        since: date = date.min,
    ) -> Playing:
        """What is looked at of takes; ``days`` has all of them, in order of time.

        ``takes`` are their plays as `in_draw` has them, and are asked for no further than they are
        looked at: whole, up to ``MOST_KINDS`` different fills and ``MOST_PLAYS``. Plays without
        time are none.
        """
        kinds: set[Fill] = set()
        looked_at: dict[str, list[PlayedFill]] = {}
        number = 0
        for take, plays in zip(in_draw(days, since), takes, strict=False):
            own = [play for play in plays if play.seconds > 0 and play.fill.strokes]
            number += len(own)
            kinds.update(play.fill.without_hands() for play in own)
            if looked_at and (number > MOST_PLAYS or len(kinds) > MOST_KINDS):
                break
            looked_at[take] = own
        plays = [play for take in days for play in looked_at.get(take, ())]
        return cls(tuple(plays), tuple(day for take, day in days.items() if take not in looked_at))

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
        if self.whole is None:
            return likeness_table(self.kinds)
        there = {kind: place for place, kind in enumerate(self.whole.kinds)}
        places = [there[kind] for kind in self.kinds]
        return self.whole.alike[np.ix_(places, places)]

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
        shape = len(self.takes), len(self.kinds)
        cells = np.ravel_multi_index((self.take_of, self.kind_of), shape)
        summed = np.bincount(cells, self.weights, shape[0] * shape[1])
        return np.asarray(summed.reshape(shape), dtype=float)

    def between(self, first: date, last: date) -> Playing:
        """What was played on these days, both included."""
        return Playing(
            tuple(play for play in self.plays if first <= play.day <= last),
            tuple(day for day in self.left_out if first <= day <= last),
            self.whole or self,
        )


def by_take(playing: Playing, of_plays: Floats) -> Floats:
    """Sum rows of numbers, one row a play, over each take, weighted by time: takes by columns."""
    summed = np.zeros((len(playing.takes), of_plays.shape[1]))
    np.add.at(summed, playing.take_of, of_plays * playing.weights[:, None])
    return summed
