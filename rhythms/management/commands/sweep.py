from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from rhythms.tasks import sweep, sweep_strays
from studio.tasks import delete_for_good


class Command(BaseCommand):
    help = "Ask the worker again for engravings that are still not made."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--failed", action="store_true", help="also for those that failed")

    def handle(self, *args: Any, failed: bool, **options: Any) -> None:
        number = sweep(failed=failed)
        sweep_strays()
        delete_for_good()
        self.stdout.write(f"Asked for {number} engraving{'' if number == 1 else 's'}.")
