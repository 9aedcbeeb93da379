"""Learning what drummers do in their fills, from MIDI files of them."""

import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from rhythms.bench.real_takes import own_plays, real_takes
from rhythms.engine.comfort.people import FILE, people_to_json
from rhythms.human_fills import SOURCE, FolderError


class Command(BaseCommand):
    help = (
        "Count the traits of drummers' fills, for students to be held against: a folder of the "
        "Groove MIDI Dataset with info.csv and the files that it names, read as takes are."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", type=Path)
        parser.add_argument("--to", type=Path, default=FILE, help="the file to write")

    def handle(self, *args: Any, folder: Path, to: Path, **options: Any) -> None:
        try:
            takes = list(real_takes(folder))
        except FolderError as error:
            raise CommandError(str(error)) from error
        found = {
            player: own_plays([take for take in takes if take.player == player]).all_stats()
            for player in sorted({take.player for take in takes})
        }
        text = json.dumps({**SOURCE, **people_to_json(found)}, ensure_ascii=False, indent=None)
        to.write_text(text.replace("], [", "],\n[") + "\n", encoding="utf-8")
        for player, traits in found.items():
            self.stdout.write(f"{player}: {len(traits)} traits")
        self.stdout.write(f"Written to {to}.")
