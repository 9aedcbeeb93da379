"""Picking fills that take a student out of the comfort zone."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Fill
from rhythms.engine.fills.hands import with_hands
from rhythms.engine.fills.likeness import Others, struck_near
from rhythms.engine.fills.playability import Effort, effort, top_tempo
from rhythms.engine.fills.variety import novelty
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.space.fill_space import FillSpace
from rhythms.engine.space.moves import Move, observed_moves
from rhythms.engine.space.weighted_sampling import draw_leaning

#: How many fills of the space are looked at each time, drawn uniformly and drawn leaning away
#: from what is known; more of them costs time and gains little variety.
POOL, LEANING_POOL = 60, 60
#: A space of no more fills than this is looked at whole.
WHOLE = 300
#: How strongly a stroke avoids the surfaces struck at about its time.
AVERSION = 8.0
#: How often each pick is tried again with all the others in place.
PASSES = 2
#: Picks are kept away from so many fills of the history, the first ones; none is picked again.
HISTORY = 12
#: A longer history counts together as so many fills, so that picks still stay off each other.
MOST_HISTORY = 4.0
#: Where nothing is known, the first pick stays off this many fills of the pool.
SAMPLE = 16

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Picked:
    """A fill and what speaks for it.

    ``novelty`` is 1 less the greatest likeness to what the student knows; ``new_moves`` are
    the moves between surfaces that the history lacks; ``effort`` is that at the tempo asked.
    """

    fill: Fill
    novelty: float
    effort: Effort
    top_tempo: float
    new_moves: tuple[Move, ...]


def pick(
    space: FillSpace,
    n: int,
    history: Sequence[Fill] = (),
    tempo: float = 60.0,
    seed: int | str = 0,
) -> tuple[Picked, ...]:
    """Up to ``n`` fills, playable at ``tempo`` quarters a minute, easier ones first.

    One after the other, the fill that is least like the known and the picked ones together is
    taken, out of a uniform sample of the space and of fills drawn from it with a leaning away
    from all of these; then each pick is tried again with the others in place. Summed likeness
    rather than the greatest one, since it is what the effective number of fills falls with.
    ``history`` starts with what matters most. The same arguments give the same picks. Fewer
    than ``n`` where no more are found that are new and playable.
    """
    if not space.size:
        return ()
    chosen = _Choice(space, history, tempo, seed).make(n)
    picked = [appraise(fill, space.kit, history, tempo) for fill in chosen]
    return tuple(sorted(picked, key=lambda one: one.effort.total))


def appraise(fill: Fill, kit: Kit, history: Sequence[Fill], tempo: float) -> Picked:
    """What speaks for a fill, for a student who knows ``history``."""
    played = with_hands(fill, kit)
    known_moves = {(move.origin, move.target) for move in observed_moves(history)}
    new = dict.fromkeys(
        move
        for move in observed_moves([fill])
        if move.origin != move.target and (move.origin, move.target) not in known_moves
    )
    return Picked(
        fill, novelty(fill, history), effort(played, kit, tempo), top_tempo(played, kit), tuple(new)
    )


class _Choice:
    """A choice under way: the picks so far, and the fills they should stay away from."""

    def __init__(
        self, space: FillSpace, history: Sequence[Fill], tempo: float, seed: int | str
    ) -> None:
        self.space = space
        self.tempo = tempo
        self.seed = Random(seed).getrandbits(32)  # noqa: S311 - reproducible on purpose
        self.turn = 0
        self.history = list(dict.fromkeys(history))[:HISTORY]
        self.old = {self._identity(fill) for fill in history}
        self.pool = list(space.sample(space.size if space.size <= WHOLE else POOL, seed))
        self.picks: list[Fill] = []

    def make(self, n: int) -> list[Fill]:
        """Add the farthest fill until there are ``n``, then let each pick be improved on."""
        while len(self.picks) < n:
            found = self._farthest(self.picks)
            if found is None:
                break
            self.picks.append(found)
        for _ in range(PASSES):
            for place in range(len(self.picks)):
                self._improve(place)
        return self.picks

    def _improve(self, place: int) -> None:
        others = self.picks[:place] + self.picks[place + 1 :]
        found = self._farthest(others)
        if found is not None:
            now, then = self._closeness([self.picks[place], found], others)
            if then < now:
                self.picks[place] = found

    def _farthest(self, picks: Sequence[Fill]) -> Fill | None:
        """The candidate that is least like the history and ``picks``, new and playable."""
        self.turn += 1
        taken = self.old | {self._identity(fill) for fill in picks}
        candidates = list(dict.fromkeys([*self._leaning_away(picks), *self.pool]))
        closeness = self._closeness(candidates, picks)
        for place in np.argsort(closeness, kind="stable").tolist():
            fill: Fill = candidates[place]
            if self._identity(fill) not in taken and self._is_playable(fill):
                return fill
        return None

    def _closeness(self, candidates: Sequence[Fill], picks: Sequence[Fill]) -> Floats:
        """Likeness summed over the picks and the history; without either, over the pool."""
        away_from = [*self._weighted(picks), *self._weighted(self.history, MOST_HISTORY)]
        if not away_from:
            away_from = self._weighted(self.pool[:SAMPLE])
        others, total = Others(candidates), np.zeros(len(candidates))
        for fill, weight in away_from:
            total += weight * others.likeness_to(fill)
        return total

    def _identity(self, fill: Fill) -> Fill:
        """What makes two fills different to the student: hands only where a rule speaks of them."""
        return fill if self.space.rule_set.speaks_of_hands else fill.without_hands()

    @staticmethod
    def _weighted(fills: Sequence[Fill], most: float = math.inf) -> list[tuple[Fill, float]]:
        return [(fill, min(1.0, most / len(fills))) for fill in fills]

    def _is_playable(self, fill: Fill) -> bool:
        return top_tempo(fill, self.space.kit) >= self.tempo

    def _leaning_away(self, picks: Sequence[Fill]) -> list[Fill]:
        """Fills drawn with those surfaces less likely that known ones strike at about the time."""
        onsets = [float(note.onset) for note in self.space.setting.bar.sounded]
        struck = np.zeros((len(onsets), len(Surface)))
        for fill, weight in [*self._weighted(picks), *self._weighted(self.history, MOST_HISTORY)]:
            struck += weight * struck_near(fill, onsets)
        places = {surface: place for place, surface in enumerate(Surface)}
        leanings = [
            np.exp(-AVERSION * row[[places[stroke.surface] for stroke in layer.strokes]])
            for layer, row in zip(self.space.graph.layers, struck, strict=True)
        ]
        return draw_leaning(self.space, leanings, LEANING_POOL, (self.seed, self.turn))
