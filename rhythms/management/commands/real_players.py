"""`manage.py real_players FOLDER`: what do takes say of people whom we know?"""

from argparse import ArgumentParser
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from rhythms.bench.habit_free import habits_section
from rhythms.bench.real_facts import facts_section
from rhythms.bench.real_fills import fills_section
from rhythms.bench.real_takes import RealTake, real_takes
from rhythms.bench.real_tempos import tempos_section
from rhythms.bench.real_ways_out import ways_out_section
from rhythms.bench.variety_cover import variety_section
from rhythms.human_fills import FolderError

#: Each makes the lines of a section of what was made out of all the takes.
SECTIONS: dict[str, Callable[[Sequence[RealTake]], Iterable[str]]] = {
    "tempos": tempos_section,
    "fills": fills_section,
    "facts": facts_section,
    "habits": habits_section,
    "ways-out": ways_out_section,
    "variety": variety_section,
}


class Command(BaseCommand):
    help = "Take a folder of human fills in as free takes, and say what is made of them."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", type=Path, help="MIDI files of fills, with their info.csv")
        parser.add_argument(
            "--section",
            action="append",
            choices=SECTIONS,
            help="one of them alone; may be repeated",
        )

    def handle(
        self, *args: Any, folder: Path, section: Sequence[str] | None = None, **options: Any
    ) -> None:
        try:
            takes = list(real_takes(folder))
        except FolderError as error:
            raise CommandError(str(error)) from error
        for number, name in enumerate(section or SECTIONS):
            if number:
                self.stdout.write("")
            for line in SECTIONS[name](takes):
                self.stdout.write(line)
