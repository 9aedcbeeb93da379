"""Engraving, against LilyPond where it is installed."""

import shutil
import subprocess
import tempfile
from collections.abc import Sequence
from pathlib import Path

from rhythms.bench.bench_timer import BenchEffort, seconds
from rhythms.bench.bench_writing import engraving_all, fills_to_write
from rhythms.bench.table import BenchRow, BenchSection, times_as_long
from rhythms.engine import Fill, Surface

#: Note names of LilyPond's drum mode, as its notation reference lists them.
_NAMES = {
    Surface.SNARE: "sn",
    Surface.HIGH_TOM: "tomh",
    Surface.MID_TOM: "tomml",
    Surface.FLOOR_TOM: "tomfl",
    Surface.HI_HAT: "hh",
    Surface.RIDE: "cymr",
    Surface.CRASH: "cymc",
    Surface.COWBELL: "cb",
}
_RUNS = 3


def section(effort: BenchEffort) -> BenchSection:
    program = shutil.which("lilypond")
    title = "The same bars, against LilyPond"
    if program is None:
        return BenchSection(title, (BenchRow("LilyPond", note="lilypond is not installed"),))
    fills = fills_to_write(effort)
    ours = engraving_all(fills, effort)
    theirs = _lilypond(program, fills, min(effort.runs, _RUNS))
    note = f"{times_as_long(theirs, ours)}, its start included"
    return BenchSection(
        title,
        (
            BenchRow(f"engrave {len(fills)}, one by one", ours),
            BenchRow(f"LilyPond, {len(fills)} files in one process", theirs, note),
        ),
    )


def _lilypond(program: str, fills: Sequence[Fill], runs: int) -> float:
    with tempfile.TemporaryDirectory() as folder:
        files = [Path(folder) / f"{number}.ly" for number, _ in enumerate(fills)]
        for path, fill in zip(files, fills, strict=True):
            path.write_text(drum_mode(fill))
        command = [program, "--silent", "-dbackend=svg", f"--output={folder}", *map(str, files)]
        return seconds(lambda: subprocess.run(command, check=True), runs)  # noqa: S603


def drum_mode(fill: Fill) -> str:
    """Return a fill of 16ths as LilyPond's input."""
    notes = " ".join(f"{_NAMES[stroke.surface]}16" for stroke in fill.strokes)
    return f'\\version "2.24.0"\n\\score {{ \\new DrumStaff \\drummode {{ {notes} }} }}\n'
