"""How a student goes about practising."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Habit:
    """When, for how long and at what.

    `chances[n]` is the chance of practising on a day that is n days before a lesson. `minutes`
    are the least and the most of one sitting, spread over at most `fills` fills. A fill is
    mastered after `minutes_to_master`, never where that is None. With `favourites`, only that
    many fills are ever played, those that were given first. The last `days_away` days were
    without practice. `slips` is the chance that a mastered fill, played cold, does not come out
    clean.
    """

    chances: tuple[float, float, float, float, float, float, float]
    minutes: tuple[int, int] = (5, 5)
    fills: int = 1
    minutes_to_master: int | None = None
    favourites: int = 0
    days_away: int = 0
    slips: float = 0


NEVER = Habit((0, 0, 0, 0, 0, 0, 0))
FIVE_A_DAY = Habit((0.4, 0.7, 0.6, 0.6, 0.5, 0.5, 0.6), (4, 7), minutes_to_master=35)
STEADY = Habit((0.3, 0.7, 0.6, 0.5, 0.5, 0.6, 0.5), (8, 16), fills=2, minutes_to_master=40)
STAR = Habit((0.9, 0.95, 0.9, 0.9, 0.85, 0.9, 0.9), (15, 24), fills=3, minutes_to_master=40)
SAME_TWO = Habit(
    (0.6, 0.8, 0.7, 0.7, 0.6, 0.7, 0.6), (10, 18), fills=2, minutes_to_master=60, favourites=2
)
THE_DAY_BEFORE = Habit(
    (0.1, 1, 0.15, 0, 0, 0, 0), (30, 50), fills=5, minutes_to_master=35, slips=0.3
)
WEEKENDS = Habit((0, 0.9, 0.85, 0, 0, 0, 0.1), (20, 35), fills=4, minutes_to_master=40, slips=0.2)
STOPPED = Habit(
    (0.3, 0.7, 0.6, 0.5, 0.5, 0.6, 0.5), (8, 14), fills=2, minutes_to_master=40, days_away=21
)
