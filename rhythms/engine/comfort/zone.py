"""A student's comfort zone, all together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from rhythms.engine.comfort.clusters import Cluster, clusters
from rhythms.engine.comfort.expectation import Given, room
from rhythms.engine.comfort.facts import BesideWhom, Fact, facts
from rhythms.engine.comfort.habits import MoveMade, moves_made
from rhythms.engine.comfort.playing import Playing
from rhythms.engine.comfort.trait_table import OwnPlays
from rhythms.engine.comfort.untouched import stickings_used, surfaces_unused
from rhythms.engine.comfort.variety_estimate import Estimate, variety
from rhythms.engine.comfort.zone_sentences import sentences
from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.space.fill_space import FillSpace

FAVOURITES = 2
#: Less than this part of the variety there is room for is little.
NARROW = 0.85


@dataclass(frozen=True)
class ZoneSummary:
    """What a list of students says of a comfort zone: all of it but its fills and its moves.

    ``most_played`` is the part of the time that the greatest cluster has, since the day
    ``most_played_since``; ``habit`` the move most typical of the student; ``fallen_back_on`` the
    sentences on what they keep coming back to.
    """

    takes: int
    variety: Estimate
    room: float | None
    favourite_share: float
    most_played: float
    most_played_since: date
    habit: MoveMade | None
    unused: tuple[Surface, ...]
    facts: tuple[Fact, ...]
    sentences: tuple[str, ...]
    fallen_back_on: tuple[str, ...]


@dataclass(frozen=True)
class Zone:
    """What a student keeps coming back to, and what they leave out.

    It rests on so many ``takes`` with so many ``fills``, ``seconds`` long. ``room`` is the
    variety of the fills that were asked for, None where none was. ``stickings`` are those that were
    played; None where no take tells the hands.
    """

    takes: int
    fills: int
    seconds: float
    variety: Estimate
    room: float | None
    clusters: tuple[Cluster, ...]
    moves: tuple[MoveMade, ...]
    unused: tuple[Surface, ...]
    stickings: tuple[str, ...] | None
    facts: tuple[Fact, ...]

    @property
    def habits(self) -> tuple[MoveMade, ...]:
        """The moves made more than chance would have it, from the most frequent on."""
        return tuple(move for move in self.moves if move.is_habit)

    @property
    def sentences(self) -> tuple[str, ...]:
        """What stands out, as a teacher would say it; none where nothing does."""
        return sentences(self.clusters if self.is_narrow else (), self.facts)

    @property
    def sentences_to_player(self) -> tuple[str, ...]:
        """The same to who plays so, never beside the other students."""
        return sentences(self.clusters if self.is_narrow else (), self.facts, to_player=True)

    @property
    def fallen_back_on(self) -> tuple[str, ...]:
        """Of these, what the student keeps coming back to: what there is a way out of."""
        groups = self.clusters if self.is_narrow else ()
        return sentences(groups, [fact for fact in self.facts if fact.keeps_coming_back])

    @property
    def is_narrow(self) -> bool:
        """Whether there is less variety than what was given has room for; a pad has none, and
        whoever was given nothing has all there is."""
        return self.room is None or self.variety.value < NARROW * self.room

    @property
    def favourites(self) -> tuple[Fill, ...]:
        """The most typical fill of each cluster, those played longest first."""
        return tuple(cluster.typical for cluster in self.clusters)

    @property
    def favourite_share(self) -> float:
        """The part of the time that goes to the two favourite fills and small changes of them."""
        return sum(cluster.share for cluster in self.clusters[:FAVOURITES])

    @property
    def typical_move(self) -> MoveMade | None:
        """The habit made most often, one between two surfaces before one that stays."""
        moving = [move for move in self.habits if move.origin != move.target]
        return next(iter([*moving, *self.habits]), None)

    @property
    def summary(self) -> ZoneSummary:
        """What a list says of it."""
        return ZoneSummary(
            self.takes,
            self.variety,
            self.room,
            self.favourite_share,
            self.clusters[0].share,
            self.clusters[0].since,
            self.typical_move,
            self.unused,
            self.facts,
            self.sentences,
            self.fallen_back_on,
        )


def comfort_zone(
    playing: Playing,
    spaces: Iterable[FillSpace],
    kit: Kit,
    beside: BesideWhom | None = None,
    assigned: Iterable[Fill] = (),
    own: OwnPlays | None = None,
) -> Zone | None:
    """The comfort zone that shows in what was played; None where there are too few takes.

    ``spaces`` are those the student was given fills of; ``beside`` the people they are held
    against, drummers alone by default; ``assigned`` the fills they were given; ``own`` what
    ``OwnPlays`` has of it, where that is known already. The same arguments give the same zone.
    """
    beside = beside or BesideWhom()
    measured = variety(playing)
    if measured is None:
        return None
    given, groups = Given.of(spaces), clusters(playing)
    return Zone(
        len(playing.takes),
        len(playing.plays),
        playing.seconds,
        measured,
        room(playing, assigned),
        groups,
        moves_made(playing, given, kit, beside.chances),
        surfaces_unused(playing, given, kit),
        stickings_used(play.fill for play in playing.plays),
        facts(own or OwnPlays.of(playing), given, kit, beside),
    )
