"""Human files taken in as the takes of a student: through the form, without its pages."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import NamedTuple

from rhythms.engine import Kit, Meter
from rhythms.engine.comfort import PlayedFill
from rhythms.engine.comfort.trait_table import OwnPlays
from rhythms.engine.takes import Analysis, Recording, analyse
from rhythms.human_fills import FolderError, HumanFile, human_files
from rhythms.notation.reading import ReadingError
from rhythms.notation.reading.strokes import strokes_here

_WHERE_NONE_IS = "4/4"
_FIRST_DAY = date(2026, 9, 7)


class RealTake(NamedTuple):
    """A file, what was taken in of it, and what was made out."""

    file: HumanFile
    recording: Recording
    analysis: Analysis

    @property
    def player(self) -> str:
        """Who played it."""
        return self.file.player


def real_takes(folder: Path) -> Iterator[RealTake]:
    """Each file that `info.csv` names as a free take on a common kit. Raises FolderError."""
    for file in human_files(folder):
        recording = taken_in(file.path)
        yield RealTake(file, recording, analyse(recording))


def plays_of(takes: Iterable[RealTake]) -> tuple[PlayedFill, ...]:
    """What was played in them, as a student's comfort zone has it: a take a day."""
    return tuple(
        PlayedFill(
            fill,
            _FIRST_DAY + timedelta(days=day),
            take.recording.events[-1][0] / 1000 / len(take.analysis.fills),
            take.file.path.name,
            spread=spread,
        )
        for day, take in enumerate(takes)
        for fill, spread in zip(take.analysis.fills, take.analysis.fill_spreads, strict=True)
    )


def own_plays(takes: Iterable[RealTake]) -> OwnPlays:
    """The same, as facts go by it."""
    return OwnPlays(plays_of(takes))


def taken_in(path: Path) -> Recording:
    """A file as `assignments.takes.take_analysis` takes it in. Raises FolderError."""
    try:
        read = strokes_here(path.read_bytes())
    except ReadingError as error:
        raise FolderError(f"{path} cannot be read: {error.message}") from error
    return Recording(
        read.events,
        Meter.parse(read.meter or _WHERE_NONE_IS),
        Kit.standard(),
        click=read.click,
        of_file=True,
        tempo=read.tempo,
    )
