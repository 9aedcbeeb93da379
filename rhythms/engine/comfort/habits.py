"""Moves that a student makes more than what they were given would have them make."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np

from rhythms.engine.comfort.expectation import Given, Pair, moves_of_fill, moves_of_space
from rhythms.engine.comfort.playing import Playing, by_take, resampled
from rhythms.engine.comfort.variety_estimate import HELD, TIMES
from rhythms.engine.kits.surfaces import Surface, base

#: A move is a habit from this share of all moves on, and this many times as often as expected.
LEAST_SHARE, LEAST_TIMES = 0.04, 1.5
#: "Mostly in beat 3" is said where so much of a move arrives there.
MOSTLY = 0.5


@dataclass(frozen=True)
class MoveMade:
    """A move from surface to surface: its share of all moves, and what was to be expected.

    ``low`` is the lower end of an interval that holds the true share with 95 %. ``beat`` is
    where it arrives most often, as the beat is counted, and ``beat_share`` the part of the move
    that arrives there.
    """

    origin: Surface
    target: Surface
    share: float
    expected: float
    low: float
    beat: int
    beat_share: float = 0.0

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
        """Whether it is made more often than chance among what was given would have it."""
        enough = self.share >= LEAST_SHARE and self.share >= LEAST_TIMES * self.expected
        return enough and self.low > self.expected


def moves_made(playing: Playing, given: Given, seed: int = 0) -> tuple[MoveMade, ...]:
    """Every move that was made, those made most often first, weighted by time."""
    of_kinds = [moves_of_fill(kind) for kind in playing.kinds]
    pairs = sorted({pair for found in of_kinds for pair in found})
    if not pairs:
        return ()
    rows = np.array([[found.get(pair, 0.0) for pair in pairs] for found in of_kinds])
    of_takes = by_take(playing, rows[playing.kind_of])
    shares = of_takes.sum(axis=0) / of_takes.sum()
    again = resampled(len(playing.takes), TIMES, seed) @ of_takes
    lows = np.quantile(again / again.sum(axis=1, keepdims=True), (1 - HELD) / 2, axis=0)
    expected, beats = given.mean(playing, moves_of_space), _beats(playing)
    made = (
        MoveMade(*pair, float(share), expected.get(pair, 0.0), float(low), *beats[pair])
        for pair, share, low in zip(pairs, shares, lows, strict=True)
    )
    return tuple(sorted(made, key=lambda move: -move.share))


def _beats(playing: Playing) -> dict[Pair, tuple[int, float]]:
    """The beat in which each move arrives most often, and the part of it that does."""
    arrived: dict[Pair, Counter[int]] = {}
    for kind, seconds in zip(playing.kinds, playing.seconds_of_kinds.tolist(), strict=True):
        notes = kind.bar.sounded[1:]
        for note, origin, target in zip(notes, kind.strokes, kind.strokes[1:], strict=False):
            beat = kind.bar.meter.beat_at(note.onset).number
            arrived.setdefault((base(origin.surface), base(target.surface)), Counter())[beat] += (
                seconds
            )
    most = {pair: beats.most_common(1)[0] for pair, beats in arrived.items()}
    return {
        pair: (beat, seconds / sum(arrived[pair].values()))
        for pair, (beat, seconds) in most.items()
    }
