from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from studio.backups.backup_writer import NothingToBackUpError, make_backup


class Command(BaseCommand):
    help = "Write the whole installation into one file, while it is in use."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="such as fillwright.backup; replaced if there")

    def handle(self, *args: Any, file: Path, **options: Any) -> None:
        try:
            totals = make_backup(file)
        except NothingToBackUpError as error:
            raise CommandError(
                "There is nothing to back up: the database has no tables."
            ) from error
        except OSError as error:
            raise CommandError(
                f"No backup was written: {error.strerror or error}: {file}"
            ) from error
        gone = f" {totals.gone:,} files were not there; they are made again." if totals.gone else ""
        size = file.stat().st_size / 1_000_000
        self.stdout.write(
            f"{totals.rows:,} rows and {totals.files:,} files are in {file} ({size:,.1f} MB).{gone}"
        )
