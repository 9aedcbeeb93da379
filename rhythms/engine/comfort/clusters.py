"""Fills that are one fill to the ear, with small changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.comfort.playing import PlayedFill, Playing
from rhythms.engine.fills.fill import HANDS, Fill
from rhythms.engine.fills.likeness import likeness_to

#: Fills at least so alike on average are small changes of one: a fill of ten strokes with one
#: or two of them on another drum.
ONE_FILL = 0.8
#: "Played most" is said of what comes in so many takes.
FEWEST_TAKES = 3

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Cluster:
    """Fills that are much alike: the most ``typical`` of them, as played in ``take``.

    There are ``kinds`` different ones. ``share`` is their part of the time; ``takes`` in how
    many takes they come, from the day ``since``.
    """

    typical: Fill
    take: str
    kinds: int
    share: float
    takes: int
    since: date

    @property
    def comes_back(self) -> bool:
        """Whether it comes in takes enough to be called one that is played most."""
        return self.takes >= FEWEST_TAKES


def clusters(playing: Playing) -> tuple[Cluster, ...]:
    """The fills in groups of much alike ones, those played longest first."""
    groups = grouped(playing.alike)
    return tuple(sorted((_cluster(playing, group) for group in groups), key=lambda one: -one.share))


def grouped(alike: Floats, least: float = ONE_FILL) -> list[list[int]]:
    """Join the two groups that are most alike on average, until none are ``least`` alike.

    Agglomerative clustering with average linkage (Sokal and Michener 1958); ``alike`` is
    symmetric, n by n, and the groups hold its places.
    """
    groups = [[place] for place in range(len(alike))]
    between = alike.astype(float).copy()
    np.fill_diagonal(between, -1.0)
    while len(groups) > 1:
        one, other = sorted(divmod(int(between.argmax()), len(groups)))
        if between[one, other] < least:
            break
        sizes = len(groups[one]), len(groups[other])
        joined = (sizes[0] * between[one] + sizes[1] * between[other]) / sum(sizes)
        between[one], between[:, one] = joined, joined
        between[one, one] = -1.0
        between = np.delete(np.delete(between, other, 0), other, 1)
        groups[one] += groups.pop(other)
    return groups


def _cluster(playing: Playing, group: list[int]) -> Cluster:
    seconds = playing.seconds_of_kinds[group]
    within = playing.alike[np.ix_(group, group)] @ seconds
    middle = group[int(within.argmax())]
    plays = [playing.plays[at] for at in np.flatnonzero(np.isin(playing.kind_of, group))]
    typical = _as_played(playing, middle)
    return Cluster(
        typical.fill,
        typical.take,
        len(group),
        float(seconds.sum() / playing.seconds),
        len({play.take for play in plays}),
        min(play.day for play in plays),
    )


def share_like(playing: Playing, fills: Sequence[Fill]) -> float:
    """The part of the time that goes to ``fills`` and small changes of them."""
    like = [likeness_to(kind, fills).max() >= ONE_FILL for kind in playing.kinds] if fills else []
    return float(playing.seconds_of_kinds[np.flatnonzero(like)].sum() / playing.seconds)


def _as_played(playing: Playing, kind: int) -> PlayedFill:
    """A play of the kind, the latest one; one with hands, where there is one."""
    own = zip(playing.plays, playing.kind_of.tolist(), strict=True)
    plays = [play for play, place in own if place == kind][::-1]
    with_hands = [play for play in plays if any(one.limb in HANDS for one in play.fill.strokes)]
    return (with_hands or plays)[0]
