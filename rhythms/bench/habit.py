"""Do picks lead out of a habit sooner than fills drawn at random? Invented students tell.

A student chooses the next surface with chances that favour the moves of their habit (a Markov
chain). Each week they play freely, are given fills of one bar, and practise them: every move
that they practise comes a little easier from then on. What they are given is the only thing
that differs between the two ways, and both are drawn at one setting: as drummers would play, or
anything that the rules allow. How fast a move becomes a habit is not known; the runs are
made for slow and for quick learners.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from random import Random
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rhythms.bench.markov_chain import Chain, Step
from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet
from rhythms.engine.comfort.clusters import clusters
from rhythms.engine.comfort.playing import PlayedFill, Playing
from rhythms.engine.comfort.variety_estimate import variety
from rhythms.engine.fills.playability import top_tempo
from rhythms.engine.picking import pick
from rhythms.engine.prior.drawing import A_STEP_OUT, draw

WEEKS = 8
#: Fills played freely each week, a take each; fills given each week; times each is practised.
PLAYED, GIVEN, TIMES = 20, 3, 5
TEMPO = 80.0
#: Fills drawn for each one given: some are known, or cannot be played at the tempo.
DRAWN = 20
#: What the moves of a habit weigh, against 1 of any other, and how many of them there are.
HABIT, MOVES = 30.0, 6
#: What practising a move once adds to its weight.
LEARNERS = {"slow": 0.1, "middling": 0.5, "quick": 2.0}
PICKS, RANDOM = "picks", "random fills"
#: The interval of a mean over students: so many draws of the students with replacement.
DRAWS, HELD = 2000, 0.95

_MONDAY = date(2026, 9, 7)
_KIT = Kit.standard()
_BARS = tuple(
    Bar.from_counts(counts)
    for counts in (
        "1 & 2 e & a 3 & 4 e & a",
        "1 & a 2 & a 3 & a 4 & a",
        "1 e & 2 e & 3 e & 4 e &",
    )
)
_RULES = RuleSet.from_json([{"rule": "placement", "values": ["eighth"], "surfaces": ["snare"]}])
_SPACES = tuple(FillSpace(bar, _RULES, _KIT) for bar in _BARS)


Floats = NDArray[np.float64]


class Mean(NamedTuple):
    """A mean over students, and the interval that holds it with 95 %."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Outcome:
    """The variety of what each student plays freely, week by week: students by weeks from 0."""

    weeks: Floats

    def mean(self, week: int) -> Mean:
        """The mean variety in a week."""
        return mean_of(self.weeks[:, week])

    @property
    def growth(self) -> Floats:
        """What each student's variety has grown by at the end."""
        return np.asarray(self.weeks[:, -1] - self.weeks[:, 0])


def mean_of(values: Floats) -> Mean:
    """The mean with its interval, by Efron's bootstrap (1979) over students."""
    drawn = np.random.default_rng(0).choice(values, (DRAWS, len(values))).mean(axis=1)
    low, high = np.quantile(drawn, [(1 - HELD) / 2, (1 + HELD) / 2])
    return Mean(float(values.mean()), float(low), float(high))


def outcome(way: str, learner: str, students: Sequence[int], dial: float = A_STEP_OUT) -> Outcome:
    """What becomes of the students with these seeds, given fills in one of the two ways."""
    return Outcome(
        np.array([_eight_weeks(way, dial, LEARNERS[learner], seed) for seed in students])
    )


def _eight_weeks(way: str, dial: float, learning: float, seed: int) -> list[float]:
    chain = Chain(_KIT, habit_of(seed))
    given: list[Fill] = []
    found = []
    for week in range(WEEKS + 1):
        playing = _week_of(chain, week, seed)
        measured = variety(playing)
        assert measured is not None  # noqa: S101 - PLAYED is enough
        found.append(measured.value)
        fills = _fills_for(way, dial, playing, given, f"{seed} {week}")
        chain.learn(fills, learning * TIMES)
        given = [*fills, *given]
    return found


def habit_of(seed: int) -> dict[Step, float]:
    """The moves that come to this student by themselves: a round trip, begun where it begins."""
    random = Random(f"habit {seed}")  # noqa: S311 - reproducible on purpose
    stops = random.sample(_KIT.hand_surfaces, MOVES)
    steps: dict[Step, float] = dict.fromkeys(zip(stops, [*stops[1:], stops[0]], strict=True), HABIT)
    return steps | {(None, stops[0]): HABIT}


def _week_of(chain: Chain, week: int, seed: int) -> Playing:
    """The same chances for both ways, so that only what was given makes a difference."""
    random = Random(f"{seed} plays {week}")  # noqa: S311
    fills = [chain.play(random.choice(_BARS), random) for _ in range(PLAYED)]
    day = _MONDAY + timedelta(weeks=week)
    return Playing.of(PlayedFill(fill, day, 1.0, str(take)) for take, fill in enumerate(fills))


def _fills_for(
    way: str, dial: float, playing: Playing, given: Sequence[Fill], seed: str
) -> list[Fill]:
    """Fills of one of the bars, playable at the tempo and new to the student, in both ways."""
    space = Random(f"bar {seed}").choice(_SPACES)  # noqa: S311
    if way == PICKS:
        zone = [cluster.typical for cluster in clusters(playing)]
        return [one.fill for one in pick(space, GIVEN, [*zone, *given], TEMPO, seed, dial)]
    drawn = draw(space, DRAWN * GIVEN, seed, dial)
    new = (fill for fill in drawn if fill not in given and top_tempo(fill, _KIT) >= TEMPO)
    return [fill for fill, _ in zip(new, range(GIVEN), strict=False)]
