"""Faults as data: read from seeded_faults.toml, put into a copy of the project and taken out."""

import shutil
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

DATA = Path(__file__).with_suffix(".toml")
#: Not in a copy: made anew, or large.
LEFT_OUT = shutil.ignore_patterns(
    ".git", ".venv", "__pycache__", "media", "db.sqlite3*", ".hypothesis", ".*_cache"
)


@dataclass(frozen=True)
class Fault:
    """`old`, which stands once in the file at `path`, becomes `new`; `effect` is what is seen."""

    id: str
    part: str
    path: str
    old: str
    new: str
    effect: str

    @property
    def is_script(self) -> bool:
        return self.path.endswith(".js")

    def times_in(self, text: str) -> int:
        return text.count(self.old)


@dataclass(frozen=True)
class Part:
    """What is run first against its faults: test files or folders, and those of scripts."""

    tests: Sequence[str]
    scripts: Sequence[str] = ()
    browser: Sequence[str] = ()


def read_faults() -> tuple[dict[str, Part], list[Fault]]:
    """Return the parts by name, and the faults. Raises TypeError for a key that is not known."""
    data = tomllib.loads(DATA.read_text())
    parts = {name: Part(**part) for name, part in data["parts"].items()}
    return parts, [Fault(**fault) for fault in data["faults"]]


def copy_of(project: Path, folder: Path) -> Path:
    """Copy the project's files into the folder, which is made."""
    shutil.copytree(project, folder, ignore=LEFT_OUT, symlinks=True)
    return folder


@contextmanager
def put_in(fault: Fault, project: Path, moved: Mapping[str, str] | None = None) -> Iterator[bool]:
    """Put the fault into the project, and take it out at the end.

    `moved` has the paths of a project in which files stand elsewhere. Yields whether the fault
    could be put in: there, another text may stand in its place.
    """
    path = project / (moved or {}).get(fault.path, fault.path)
    text = path.read_text() if path.exists() else ""
    if fault.times_in(text) != 1:
        yield False
        return
    _write(path, text.replace(fault.old, fault.new))
    try:
        yield True
    finally:
        _write(path, text)


def _write(path: Path, text: str) -> None:
    """Without what Python kept of the file: two changes in a second look the same to it."""
    path.write_text(text)
    for kept in (path.parent / "__pycache__").glob(f"{path.stem}.*.pyc"):
        kept.unlink()
