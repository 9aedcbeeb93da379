"""Files that are there as a whole or not at all, however full the disk is."""

import os
from pathlib import Path
from time import time
from uuid import uuid4

from django.core.files.base import File
from django.core.files.storage import FileSystemStorage, default_storage

#: Where files are while they are written: on the same file system, so that one is moved at once.
PARTIAL = ".partial"
#: What is still partial then was left by a process that ended, in seconds.
_LEFT_BEHIND = 3600


class WholeFileStorage(FileSystemStorage):
    """Writes beside the place, to the disk, then moves: nobody ever reads half a file.

    An error, such as a full disk, leaves nothing behind. A name that is taken is taken over: names
    are made of what their files hold.
    """

    def __init__(self, **options: object) -> None:
        super().__init__(**({"allow_overwrite": True} | options))  # type: ignore[arg-type]

    def _save(self, name: str, content: File) -> str:
        partial = f"{PARTIAL}/{uuid4().hex}"
        written, place = Path(self.path(partial)), Path(self.path(name))
        try:
            super()._save(partial, content)  # type: ignore[misc]
            _sync(written)
            place.parent.mkdir(parents=True, exist_ok=True)
            written.replace(place)
        except BaseException:
            written.unlink(missing_ok=True)
            raise
        return name


def discard_partial() -> int:
    """Delete what was left half-written when a process or the machine ended; returns how many."""
    folder = Path(default_storage.path(PARTIAL))
    old = [path for path in folder.glob("*") if _age(path) > _LEFT_BEHIND]
    for path in old:
        path.unlink(missing_ok=True)
    return len(old)


def _age(path: Path) -> float:
    """In seconds; of one that was moved meanwhile, 0."""
    try:
        return time() - path.stat().st_mtime
    except FileNotFoundError:
        return 0.0


def _sync(path: Path) -> None:
    """Have it on the disk: some file systems say only now that they are full."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())
