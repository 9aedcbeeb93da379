"""`manage.py strokes_kept FOLDER`: how much of drummers' fills is in what is read of them?"""

from argparse import ArgumentParser
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from rhythms.bench.player_parts import parts_of
from rhythms.bench.strokes_kept import WAYS_TO_READ, StrokesKept, kept
from rhythms.human_fills import FolderError, human_files

_WIDTH = 34


class Command(BaseCommand):
    help = (
        "Read a folder of human fills as files to import and as takes, and say how many of their "
        "strokes are in the fills that come of it."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", type=Path, help="MIDI files of fills, with their info.csv")

    def handle(self, *args: Any, folder: Path, **options: Any) -> None:
        try:
            files = list(human_files(folder))
        except FolderError as error:
            raise CommandError(str(error)) from error
        self.stdout.write(
            f"{len(files)} files. Kept: on its drum, within a 32nd; aligned: with the offset of "
            "the whole file taken off. Complete: files with every stroke kept."
        )
        columns = ("strokes", "kept", "complete", "aligned", "complete", "of read")
        self.stdout.write(f"{'':<{_WIDTH}}" + "".join(f"{name:>10}" for name in columns))
        for way, read in WAYS_TO_READ.items():
            found = [kept(file, read(file)) for file in files]
            for name, part in parts_of(way, found):
                self._line(name, part)

    def _line(self, name: str, part: Sequence[StrokesKept]) -> None:
        strokes = sum(one.strokes for one in part)
        shares = (
            sum(one.kept for one in part) / strokes,
            sum(one.complete for one in part) / len(part),
            sum(one.kept_aligned for one in part) / strokes,
            sum(one.complete_aligned for one in part) / len(part),
            sum(one.kept_aligned for one in part) / max(1, sum(one.read for one in part)),
        )
        cells = "".join(f"{share:>10.2%}" for share in shares)
        self.stdout.write(f"{name:<{_WIDTH}}{strokes:>10,}{cells}")
