"""A student as a few numbers: how fast a fill comes, how it stays, on which days there is time.

A model of our own, to see what the planner does with different students; it says nothing about
any person. A fill has a speed, the tempo at which half the times through come out clean. Playing
raises it, most where it is mostly right; days without it let it sink, the less the more days it
was played on.
"""

import math
from dataclasses import dataclass
from random import Random

#: How sharply clean turns into not clean around the speed, in beats a minute.
_WIDTH = 5.0
#: Of the gain of a clean time through, what one that was not clean brings.
_FROM_MISTAKES = 0.4


@dataclass(frozen=True)
class Learner:
    """`gain` in beats a minute for each clean time through, `loss` in beats a minute for each
    day off after one day of practice; `begins_at` is the speed of a new fill as a part of its
    goal, and `reach` what can be reached. `chances[weekday]` is the chance of practice.
    """

    name: str
    minutes: int
    chances: tuple[float, float, float, float, float, float, float]
    gain: float
    loss: float
    begins_at: float
    reach: float = 1.3
    mixed: bool = True


FIVE_A_DAY = Learner(
    "a beginner, five minutes most days", 5, (0.85,) * 7, gain=0.55, loss=2.0, begins_at=0.6
)
WEEKENDS = Learner(
    "an adult, half an hour at weekends",
    30,
    (0.05, 0.05, 0.05, 0.05, 0.1, 0.9, 0.9),
    gain=0.5,
    loss=2.0,
    begins_at=0.7,
)
EAGER = Learner(
    "quick, fifteen minutes nearly every day",
    15,
    (0.95,) * 7,
    gain=0.9,
    loss=1.5,
    begins_at=0.8,
)
LEARNERS = (FIVE_A_DAY, WEEKENDS, EAGER)
#: Climbs, but slowly; and cannot get further by more of the same.
SLOW = Learner(
    "slow, ten minutes most days", 10, (0.85,) * 7, gain=0.25, loss=0.5, begins_at=0.62, reach=1.3
)
STUCK = Learner(
    "stuck, ten minutes most days", 10, (0.85,) * 7, gain=0.5, loss=0.5, begins_at=0.6, reach=0.66
)
#: The simpler form of a fill is as hard as the fill at this part of its tempo.
EASED = 0.75


class Skill:
    """How one learner stands with one fill."""

    def __init__(self, learner: Learner, goal: int) -> None:
        self.learner = learner
        self.goal = goal
        self.speed = learner.begins_at * goal
        self.days_played = 0

    def chance(self, tempo: float) -> float:
        """How likely one time through comes out clean at the tempo."""
        return 1 / (1 + math.exp((tempo - self.speed) / _WIDTH))

    def play(self, tempo: float, loops: int, chance: Random) -> int:
        """Play it so often; returns how many times were clean."""
        clean = 0
        for _ in range(loops):
            is_clean = chance.random() < self.chance(tempo)
            clean += is_clean
            room = 1 - self.speed / (self.learner.reach * self.goal)
            self.speed += self.learner.gain * room * (1 if is_clean else _FROM_MISTAKES)
        return clean

    def sleep(self, *, played: bool) -> None:
        """Let a day end."""
        if played:
            self.days_played += 1
        else:
            self.speed -= self.learner.loss / (1 + self.days_played) ** 1.5
        self.speed = max(self.speed, self.learner.begins_at * self.goal)
