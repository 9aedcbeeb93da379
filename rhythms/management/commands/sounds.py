from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from rhythms.bench.kit_table import kit_lines
from rhythms.bench.listening import write_all
from rhythms.bench.loudness_table import loudness_lines
from rhythms.notation.sounds import SOUNDS_VERSION
from rhythms.sounds.sound_files import SLUGS, kept_sound_file


class Command(BaseCommand):
    help = "Make the kit's sounds now, so that the first player does not wait for them."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--to", type=Path, help="write them to this folder, to listen to")
        parser.add_argument(
            "--table", action="store_true", help="only measure them, beside recorded drums"
        )

    def handle(self, *args: Any, to: Path | None, table: bool, **options: Any) -> None:
        if table:
            for line in (*kit_lines(), "", *loudness_lines()):
                self.stdout.write(line)
            return
        try:
            if to is not None:
                self.stdout.write(f"{write_all(to)} files are in {to}.")
                return
            size = sum(len(kept_sound_file(slug)) for slug in SLUGS)
        except OSError as error:
            raise CommandError(f"The sounds cannot be stored: {error}") from error
        self.stdout.write(f"{len(SLUGS)} sounds of {SOUNDS_VERSION} are there: {size // 1000} KB.")
