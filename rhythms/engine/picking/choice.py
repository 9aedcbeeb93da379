"""A choice of fills under way."""

from __future__ import annotations

import math
from collections.abc import Sequence
from enum import StrEnum
from itertools import chain

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Fill
from rhythms.engine.fills.likeness import struck_near
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.picking.candidates import Candidates
from rhythms.engine.picking.kept_likeness import KeptLikeness

#: How often each pick is tried again with all the others in place; and so many picks at a time,
#: against fills that lean away from the others as they were before. All at a time take less time,
#: and stay nearer to each other.
PASSES, TOGETHER = 2, 4
#: Picks are kept away from so many fills of the history, the first ones; none is picked again.
HISTORY = 12
#: A longer history counts together as so many fills, so that picks still stay off each other:
#: where anything goes, and where plausible fills lie near to each other and to what is known.
MOST_HISTORY, HUMAN_MOST_HISTORY = 4.0, 9.0
#: Where nothing is known, the first pick stays off this many fills of the pool.
SAMPLE = 16
#: What a bit a stroke weighs against likeness to one fill, outside what picks may cost: from so
#: much less to so much more than fills of drummers cost here on average. Within, unlikeness alone
#: decides. Of trials by `likeness_to_drummers` and `comfort_simulation`.
A_BIT, PLAINER, BOLDER = 2.5, -0.2, 0.8
#: What a fill of nothing but cymbals and bells weighs, likewise, where drummers have none: away
#: from what is known lie the cymbals.
GLARE = 0.75
#: What a stroke weighs, likewise, that goes on with a run no drummer would make so long: nobody
#: crashes three times running.
TOO_LONG = 1.0
#: What steps weigh, likewise, that are to be rarer: times the mean logarithm of their factors.
RARER = 1.0
#: Where steps are to be rarer, the cymbals are the short way out: beyond this share of a fill's
#: strokes they weigh so much, likewise.
BRIGHT, BRIGHT_GLARE = 0.25, 4.0

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


class Ended(StrEnum):
    """Why a choice ended."""

    ENOUGH = "enough"
    #: No other fill of the space is new to the student and playable at the tempo.
    NONE_LEFT = "none left"
    #: So many were looked at that it was given up.
    GIVEN_UP = "given up"


class PickChoice:
    """The picks so far, and the fills they should stay away from.

    Picks are numbers of drawn fills; fills of the history are -1, -2 and so on.
    """

    def __init__(self, candidates: Candidates, history: Sequence[Fill]) -> None:
        self.candidates = candidates
        self.drawn = candidates.drawn
        self.history = list(dict.fromkeys(history))[:HISTORY]
        self._most_history = HUMAN_MOST_HISTORY if candidates.dial else MOST_HISTORY
        self._likeness = KeptLikeness(self.drawn, self.history)
        self._near: dict[int, Floats] = {}
        self.picks: list[int] = []
        self.ended = Ended.ENOUGH

    def make(self, n: int) -> list[Fill]:
        """Add the farthest fill until there are ``n``, then let each pick be improved on."""
        while len(self.picks) < n:
            found = self._farthest(self._leaning_away([self.picks]), self.picks)
            if found is None:
                found = self._any_other()
            if found is None:
                self.ended = Ended.GIVEN_UP if self.candidates.all is None else Ended.NONE_LEFT
                break
            self.picks.append(found)
        for _ in range(PASSES):
            for start in range(0, len(self.picks), TOGETHER):
                self._improve(range(start, min(start + TOGETHER, len(self.picks))))
        return [self.drawn.fill(number) for number in self.picks]

    def _improve(self, places: range) -> None:
        """Try some picks again, against fills that lean away from what is beside each of them."""
        drawn = self._leaning_away([self._without(place) for place in places])
        # Compared all at once, to be looked up below.
        fills = self._plausible(self._new(drawn, self.picks))
        self._likeness.table([one for one, _ in self._away_from(self.picks)], fills)
        for place in places:
            found = self._farthest(drawn, self._without(place), self.picks[place])
            self.picks[place] = self.picks[place] if found is None else found

    def _without(self, place: int) -> list[int]:
        return self.picks[:place] + self.picks[place + 1 :]

    def _leaning_away(self, from_picks: Sequence[Sequence[int]]) -> list[int]:
        """Fills that lean away from the history and some picks, for each list of as many picks."""
        struck = [self._struck(self._away_from(picks)) for picks in from_picks]
        others = max((len(picks) for picks in from_picks), default=0) + len(self.history)
        return self.candidates.leaning_away(struck, others)

    def _farthest(
        self, leaning: Sequence[int], picks: Sequence[int], now: int | None = None
    ) -> int | None:
        """The candidate that costs least and is plausible, new and playable.

        With ``now`` it costs less than that one; None where there is none.
        """
        fills = self._plausible(self._new([*leaning, *self.candidates.pool], picks, now))
        if now is None:
            return self._first_playable(fills, self._cost(fills, picks))
        cost = self._cost(np.append(fills, now), picks)
        cheaper = cost[:-1] < cost[-1]
        return self._first_playable(fills[cheaper], cost[:-1][cheaper])

    def _struck(self, away_from: Sequence[tuple[int, float]]) -> Floats:
        """How near some fills come to striking, all together: times by surfaces."""
        total = np.zeros((len(self.drawn.onsets), len(Surface)))
        for one, weight in away_from:
            total += weight * self._struck_near(one)
        return total

    def _struck_near(self, one: int) -> Floats:
        if one not in self._near:
            fill = self.drawn.fill(one) if one >= 0 else self.history[-1 - one]
            self._near[one] = struck_near(fill, self.drawn.onsets)
        return self._near[one]

    def _any_other(self) -> int | None:
        """What the rules leave, the most plausible first, where nothing plausible is left."""
        for drawn in chain([self.candidates.pool], self.candidates.more()):
            fills = self._new(drawn, self.picks)
            found = self._first_playable(fills, self.drawn.surprise(fills))
            if found is not None:
                return found
        return None

    def _first_playable(self, fills: Whole, cost: Floats) -> int | None:
        cheapest_first = fills[np.argsort(cost, kind="stable")].tolist()
        return next(filter(self.candidates.is_playable, cheapest_first), None)

    def _new(self, drawn: Sequence[int], picks: Sequence[int], now: int | None = None) -> Whole:
        taken = self.drawn.known.union(picks, () if now is None else (now,))
        new = [fill for fill in dict.fromkeys(drawn) if fill not in taken]
        return np.array(new, dtype=np.int64)

    def _plausible(self, fills: Whole) -> Whole:
        if not self.candidates.dial or not len(fills):
            return fills
        return fills[self.drawn.surprise(fills) <= self.candidates.pick_space.usual.most]

    def _cost(self, fills: Whole, picks: Sequence[int]) -> Floats:
        """Likeness summed over the picks and the history, and how far it is from plausible.

        Without picks and history, likeness to the pool.
        """
        away_from = self._away_from(picks) or self._weighted(self.candidates.pool[:SAMPLE])
        total = np.zeros(len(fills))
        table = self._likeness.table([one for one, _ in away_from], fills)
        # One after the other, so that the sum is the same however many are compared at once.
        for (_, weight), alike in zip(away_from, table, strict=True):
            total += weight * alike
        if self.candidates.dial and len(fills):
            usual = self.candidates.pick_space.usual
            over = self.drawn.surprise(fills) - usual.surprise
            total += A_BIT * np.maximum(0, np.maximum(PLAINER - over, over - BOLDER))
            total += TOO_LONG * self.drawn.overlong(fills)
            brightness = self.drawn.brightness(fills)
            total += GLARE * np.maximum(0, brightness - usual.brightness)
            if self.candidates.rarer is not None:
                total -= RARER * self.drawn.rarity(fills)
                total += BRIGHT_GLARE * np.maximum(0, brightness - BRIGHT)
        return total

    def _away_from(self, picks: Sequence[int]) -> list[tuple[int, float]]:
        """The picks and the history, each with its weight."""
        history = range(-1, -1 - len(self.history), -1)
        return [*self._weighted(picks), *self._weighted(history, self._most_history)]

    @staticmethod
    def _weighted(fills: Sequence[int], most: float = math.inf) -> list[tuple[int, float]]:
        return [(fill, min(1.0, most / len(fills))) for fill in fills]
