"""`manage.py twelve_weeks`: what the planner makes of three invented students."""

from statistics import mean
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from assignments.simulation.learner import LEARNERS
from assignments.simulation.simulated_weeks import DAYS, Weeks, simulate_weeks

_COLUMNS = (
    ("days", "days with practice"),
    ("min", "minutes played"),
    ("begun", "fills begun"),
    ("mastered", "mastered at the end"),
    ("hold", "of these hold"),
    ("back", "re-checks that were not clean"),
    ("at", "mean tempo of what holds, as a part of the tempo asked for"),
    ("clean", "chance that what holds comes out clean, played cold the day after the end"),
    ("new", "most new fills on one day"),
    ("over", "most seconds over the minutes of a day; 0: no day asked for more"),
)


class Command(BaseCommand):
    help = "Let three invented students practise by the plan for twelve weeks, and say what holds."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--seeds", type=int, default=5, help="lives of each student (5)")

    def handle(self, *args: Any, seeds: int, **options: Any) -> None:
        self.stdout.write(f"{DAYS} days, means of {seeds} lives each.\n")
        self.stdout.write(" " * 40 + "".join(f"{name:>9}" for name, _ in _COLUMNS))
        for learner in LEARNERS:
            lives = [simulate_weeks(learner, seed) for seed in range(max(1, seeds))]
            self.stdout.write(f"{learner.name:<40}" + "".join(_cells(lives)))
        for name, meaning in _COLUMNS:
            self.stdout.write(f"{name:>9}  {meaning}")


def _cells(lives: list[Weeks]) -> list[str]:
    means = [
        mean(len(weeks.plans) for weeks in lives),
        mean(float(weeks.seconds) / 60 for weeks in lives),
        mean(len(weeks.begun) for weeks in lives),
        mean(len(weeks.mastered) for weeks in lives),
        mean(len(weeks.holding) for weeks in lives),
        mean(weeks.came_back for weeks in lives),
    ]
    at = [_tempo_held(weeks) for weeks in lives if weeks.holding]
    return [
        *(f"{number:9.1f}" for number in means),
        f"{mean(at):9.0%}" if at else f"{'–':>9}",
        f"{mean(weeks.clean_in_truth for weeks in lives):9.0%}",
        f"{max(weeks.most_new for weeks in lives):9}",
        f"{max(0.0, *(float(weeks.most_over) for weeks in lives)):9.1f}",
    ]


def _tempo_held(weeks: Weeks) -> float:
    """The tempo at which it was last played cold, as a part of what was asked for."""
    last = {sitting.piece: sitting.tempo for sitting in weeks.sittings if sitting.recheck}
    return mean((last.get(piece.id) or 0) / piece.goal for piece in weeks.holding)
