from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from rhythms.tasks import sweep
from studio.tasks import sweep_all


class Command(BaseCommand):
    help = "Ask the worker again for what is not made, and delete what is over (see the README)."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--failed", action="store_true", help="also for those that failed")

    def handle(self, *args: Any, failed: bool, **options: Any) -> None:
        number = sweep(failed=failed)
        sweep_all()
        self.stdout.write(f"Asked for {number} engraving{'' if number == 1 else 's'}.")
