"""`manage.py comfort_simulation`: do picks lead out of a habit sooner than random fills?"""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from rhythms.bench.habit import (
    GIVEN,
    LEARNERS,
    PICKS,
    PLAYED,
    RANDOM,
    TEMPO,
    TIMES,
    WEEKS,
    Mean,
    mean_of,
    outcome,
)
from rhythms.engine.prior.drawing import DIALS

_COLUMN = 20


class Command(BaseCommand):
    help = (
        "Simulate students who play by habit and are given picked or random fills, and print the "
        "effective number of different fills they play freely, week by week."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--students", type=int, default=30, help="how many (default 30)")
        parser.add_argument("--first-seed", type=int, default=0, help="the first one's seed")
        parser.add_argument(
            "--setting",
            choices=DIALS,
            default="a step out",
            help="what both kinds of fills are drawn as (default: a step out)",
        )

    def handle(
        self, *args: Any, students: int, first_seed: int, setting: str, **options: Any
    ) -> None:
        seeds = range(first_seed, first_seed + students)
        self.stdout.write(
            f"{students} students, seeds {seeds.start} to {seeds.stop - 1}, {WEEKS} weeks. Each "
            f"week: {PLAYED} fills played freely, then {GIVEN} fills given, playable at "
            f"{TEMPO:.0f}, and practised {TIMES} times each; all drawn as “{setting}”. Means over "
            "students of the effective number of different fills played freely; in brackets 95 % "
            "intervals."
        )
        for learner in LEARNERS:
            self._compare(learner, seeds, DIALS[setting])

    def _compare(self, learner: str, seeds: range, dial: float) -> None:
        picked, drawn = (outcome(way, learner, seeds, dial) for way in (PICKS, RANDOM))
        self.stdout.write(f"\n{learner.capitalize()} learners")
        self.stdout.write(_line("week", PICKS, RANDOM))
        for week in range(WEEKS + 1):
            self.stdout.write(
                _line(str(week), _figures(picked.mean(week)), _figures(drawn.mean(week)))
            )
        growths = (mean_of(picked.growth), mean_of(drawn.growth))
        self.stdout.write(_line("growth", *(_figures(growth) for growth in growths)))
        more = picked.growth - drawn.growth
        ahead = int((more > 0).sum())
        self.stdout.write(
            f"Picks add {_figures(mean_of(more))} more; they are ahead for {ahead} of {len(more)}."
        )


def _figures(mean: Mean) -> str:
    return f"{mean.value:.2f} ({mean.low:.2f} to {mean.high:.2f})"


def _line(*cells: str) -> str:
    first, *others = cells
    return f"{first:<8}" + "".join(f"{cell:<{_COLUMN}}" for cell in others).rstrip()
