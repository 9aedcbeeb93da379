"""Human fills, read from the files of the Groove MIDI Dataset."""

import csv
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import mido

from rhythms.engine import Meter, Surface
from rhythms.engine.kits.surfaces import FEET, base
from rhythms.engine.prior.played_line import Line
from rhythms.engine.takes import FILE, Grid, hear
from rhythms.engine.takes.stroke_reading import place

#: What the data file says of itself.
SOURCE = {
    "source": (
        "Groove MIDI Dataset, Google LLC; Gillick, Roberts, Engel, Eck, Bamman, “Learning to "
        "Groove with Inverse Sequence Transformations”, ICML 2019"
    ),
    "licence": "CC BY 4.0; counted, not copied: how often two drummers went from where to where",
}
_METER = Meter.parse("4/4")
_FEWEST = 2
_SAME = {Surface.CROSS_STICK: Surface.SNARE, Surface.RIDE_BELL: Surface.RIDE}


class FolderError(Exception):
    """Raised where a folder holds no fills, or not those that its list names."""


class HumanFile(NamedTuple):
    """Whose it is, and what a kit sent: (ms, key, velocity), at a tempo in quarters a minute.

    ``style`` as the list has it.
    """

    player: str
    path: Path
    events: list[tuple[float, int, int]]
    tempo: float
    style: str = ""


class HumanFill(NamedTuple):
    """Whose it is, and what the hands do."""

    player: str
    file: str
    line: Line


def lines_by_player(folder: Path) -> dict[str, list[Line]]:
    """What each player played. Raises FolderError."""
    played: dict[str, list[Line]] = {}
    for fill in human_fills(folder):
        played.setdefault(fill.player, []).append(fill.line)
    return played


def human_fills(folder: Path) -> Iterator[HumanFill]:
    """The fills that `info.csv` names, in its order. Raises FolderError."""
    for file in human_files(folder):
        line = line_of(file)
        if len(line.onsets) >= _FEWEST:
            yield HumanFill(file.player, file.path.name, line)


def human_files(folder: Path) -> Iterator[HumanFile]:
    """The files that `info.csv` names, in its order. Raises FolderError."""
    listed = folder / "info.csv"
    if not listed.is_file():
        raise FolderError(f"{folder} has no info.csv: give the folder with the fills.")
    with listed.open(encoding="utf-8", newline="") as lines:
        rows = [row for row in csv.DictReader(lines) if row["time_signature"] == "4-4"]
    for row in rows:
        path = folder / row["midi_filename"]
        try:
            events, tempo = _played(mido.MidiFile(path), float(row["bpm"]))
        except (OSError, EOFError, ValueError) as error:
            raise FolderError(f"{path} cannot be read: {error}.") from error
        yield HumanFile(row["drummer"], path, events, tempo, row.get("style") or "")


def _played(file: mido.MidiFile, tempo: float) -> tuple[list[tuple[float, int, int]], float]:
    ms, events = 0.0, []
    for message in file:
        ms += 1000 * message.time
        if message.type == "set_tempo":
            tempo = mido.tempo2bpm(message.tempo)
        if message.type == "note_on":
            events.append((ms, message.note, message.velocity))
    return events, tempo


def line_of(file: HumanFile) -> Line:
    """The hands: the louder one where both strike, on the places that they were meant for."""
    by_onset: dict = {}
    for each in place(hear(file.events, {}).hits, Grid.steady(_METER, file.tempo, 0.0, FILE)):
        if each.hit.surface not in FEET:
            by_onset.setdefault(each.bar * _METER.length + each.onset, []).append(each.hit)
    onsets = tuple(sorted(by_onset))
    louder = (max(by_onset[onset], key=lambda hit: hit.velocity) for onset in onsets)
    struck = (base(hit.surface) for hit in louder)
    return Line(onsets, tuple(_SAME.get(surface, surface) for surface in struck))
