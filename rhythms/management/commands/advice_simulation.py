"""`manage.py advice_simulation`: how often advice after a take names what noise alone made."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from rhythms.bench.planted_faults import NOISE, PLACES, told_of_noise


class Command(BaseCommand):
    help = "Play takes without any habit, and count what is said of them."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--takes", type=int, default=200, help="of each kind of player")

    def handle(self, *args: Any, takes: int, **options: Any) -> None:
        self.stdout.write(f"{takes} takes of each; spread in ms, left out and elsewhere in 100:")
        for spread, drops, swaps in NOISE:
            told = told_of_noise(takes, spread, drops, swaps)
            places = sum(told[kind] for kind in PLACES)
            others = ", ".join(f"{kind} {count}" for kind, count in told.most_common())
            self.stdout.write(
                f"{spread:g}, {100 * drops:g}, {100 * swaps:g}: a place in {places}; {others}"
            )
