"""Learning what drummers play first, from MIDI files of their fills."""

import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from rhythms.engine.prior.human_prior import FILE
from rhythms.engine.prior.learning import learn
from rhythms.human_fills import SOURCE, FolderError, lines_by_player


class Command(BaseCommand):
    help = (
        "Learn the weights of fills from a folder of the Groove MIDI Dataset: info.csv, and the "
        "files that it names."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", type=Path)
        parser.add_argument("--to", type=Path, default=FILE, help="the file to write")

    def handle(self, *args: Any, folder: Path, to: Path, **options: Any) -> None:
        try:
            played = lines_by_player(folder)
        except FolderError as error:
            raise CommandError(str(error)) from error
        prior = learn(played)
        to.write_text(_compact({**SOURCE, **prior.to_json()}), encoding="utf-8")
        for player in prior.players:
            self.stdout.write(
                f"{player.name}: {player.fills} fills, {player.table.strokes} strokes"
            )
        self.stdout.write(f"Written to {to}.")


def _compact(data: dict[str, Any]) -> str:
    """JSON with a line a player's step: a change shows where it is."""
    text = json.dumps(data, separators=(",", ":"), ensure_ascii=False)
    return text.replace("],[", "],\n[").replace('},{"', '},\n{"') + "\n"
