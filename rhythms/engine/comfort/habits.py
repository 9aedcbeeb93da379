"""Moves that a student makes more than drummers would on the same rhythms, or than was asked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np

from rhythms.engine.comfort.expectation import Given, moves_of_fill
from rhythms.engine.comfort.hand_moves import Pair, hand_moves
from rhythms.engine.comfort.playing import FEWEST, Floats, PlayedFill, Playing, by_take
from rhythms.engine.comfort.rhythm_chances import DRAWN, ChancesOf, rhythm_chances
from rhythms.engine.comfort.trait_tests import false_discovery_rates, p_of_amount_by_chance
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import Surface

#: A move is a habit from this share of all moves on, and this many times as often as expected.
LEAST_SHARE, LEAST_TIMES = 0.04, 1.5
#: "Mostly in beat 3" is said where so much of a move arrives there.
MOSTLY = 0.5
#: False discoveries among the habits that are said.
HELD_AT = 0.05
#: About so many moves are in a take: what chance makes of one varies accordingly.
_MOVES_A_TAKE = 10


@dataclass(frozen=True)
class MoveMade:
    """A move from surface to surface: its share of all moves, and what was to be expected.

    ``rate`` is the false discovery rate at which it is made more often. ``beat`` is where it
    arrives most often, as the beat is counted, with ``beat_share`` of all its arrivals.
    """

    origin: Surface
    target: Surface
    share: float
    expected: float
    rate: float
    beat: int
    beat_share: float

    @property
    def is_mostly_there(self) -> bool:
        """Whether half of it or more arrives in its ``beat``."""
        return self.beat_share >= MOSTLY

    @property
    def times(self) -> float | None:
        """How many times as often as expected; None where it was not to be expected at all."""
        return self.share / self.expected if self.expected else None

    @property
    def is_habit(self) -> bool:
        """Whether it is made clearly more often than others, and what was given, would have it."""
        enough = self.share >= LEAST_SHARE and self.share >= LEAST_TIMES * self.expected
        return enough and self.rate <= HELD_AT


def moves_made(
    playing: Playing, given: Given, kit: Kit, chances: ChancesOf = rhythm_chances
) -> tuple[MoveMade, ...]:
    """Every move that was made, those made most often first, weighted by time."""
    of_plays = [moves_of_fill(play.fill) for play in playing.plays]
    pairs = sorted({pair for found in of_plays for pair in found})
    if not pairs:
        return ()
    made = _shares_by_take(playing, of_plays, pairs)
    others = [_by_others(play, kit, chances) for play in playing.plays]
    expected = _shares_by_take(playing, others, pairs)
    if given.says_something(playing.plays):
        by_given = _shares_by_take(playing, [given.moves(play) for play in playing.plays], pairs)
        # What was given explains as much as it explains.
        expected = np.maximum(expected, by_given)
    rates = _rates(made, expected) if len(made) >= FEWEST else [1.0] * len(pairs)
    weights = playing.seconds_by_take.sum(axis=1)
    shares, chance = (np.average(one, axis=0, weights=weights) for one in (made, expected))
    beats = _beats(playing)
    found = (
        MoveMade(*pair, float(share), float(due), rate, *beats[pair])
        for pair, share, due, rate in zip(pairs, shares, chance, rates, strict=True)
    )
    return tuple(sorted(found, key=lambda move: -move.share))


def _shares_by_take(
    playing: Playing, of_plays: Sequence[Mapping[Pair, float]], pairs: Sequence[Pair]
) -> Floats:
    """The share of each move in each take: takes by pairs."""
    rows = np.array([[found.get(pair, 0.0) for pair in pairs] for found in of_plays])
    moving = np.array([[float(bool(found))] for found in of_plays])
    seconds = by_take(playing, moving)
    return np.asarray(by_take(playing, rows) / np.where(seconds, seconds, 1.0))


def _by_others(play: PlayedFill, kit: Kit, chances: ChancesOf) -> Mapping[Pair, float]:
    if play.asked is not None:
        return moves_of_fill(play.asked)
    found = chances(play.fill.without_hands(), kit, DRAWN)
    return {} if found is None else found.moves


def _rates(made: Floats, expected: Floats) -> list[float]:
    p_values = []
    for own, due in zip(made.T, expected.T, strict=True):
        mean = float(due.mean())
        spread = sqrt(mean * (1 - mean) / _MOVES_A_TAKE)
        p_values.append(p_of_amount_by_chance(own, due, spread) if own.mean() > mean else 1.0)
    return false_discovery_rates(p_values)


def _beats(playing: Playing) -> dict[Pair, tuple[int, float]]:
    """The beat in which each move arrives for most of the time, and its part of that time."""
    arrived: dict[Pair, Counter[int]] = {}
    for kind, seconds in zip(playing.kinds, playing.seconds_of_kinds.tolist(), strict=True):
        notes = zip(kind.bar.sounded, kind.strokes, strict=True)
        by_hand = [note for note, stroke in notes if not stroke.by_foot]
        for note, pair in zip(by_hand[1:], hand_moves(kind), strict=True):
            beat = kind.bar.meter.beat_at(note.onset).number
            arrived.setdefault(pair, Counter())[beat] += seconds
    found = {}
    for pair, beats in arrived.items():
        ((beat, most),) = beats.most_common(1)
        found[pair] = beat, most / beats.total()
    return found
