"""A disk without room for the files of a test: a real file system, small and full."""

import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

#: Room that is left: enough to begin a file, not to end it.
LEFT = 4096


class FullDisk:
    """`folder` is on it; `make_room` ends its being full."""

    def __init__(self, folder: Path, filling: Path) -> None:
        self.folder, self.filling = folder, filling

    def make_room(self) -> None:
        self.filling.unlink()

    @property
    def files(self) -> list[Path]:
        """What lies on it, but for what fills it."""
        inside = self.folder.rglob("*") if self.folder.is_dir() else []
        return [path for path in inside if path.is_file() and path != self.filling]


@contextmanager
def full_disk(place: Path) -> Iterator[FullDisk]:
    """A file system of 256 KB in memory.

    Where none may be mounted, a file stands where the folder should be: an OSError as well.
    """
    place.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=256k", "tmpfs", str(place)]
    try:
        subprocess.run(mount, check=True, capture_output=True)
    except (OSError, subprocess.CalledProcessError):
        instead = place / "media"
        instead.write_text("no folder")
        yield FullDisk(instead, instead)
        return
    try:
        filling = place / "filling"
        filling.write_bytes(b"x" * (256 * 1024 - LEFT))
        yield FullDisk(place, filling)
    finally:
        subprocess.run(["umount", "--lazy", str(place)], check=True)
