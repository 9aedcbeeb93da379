"""The file of a backup: gzip of JSON lines, each after the SHA-256 of itself.

`<hash> ["head", {…}]` comes first: the format, the migrations, the moment. A table is
`["table", {"model", "columns"}]` and its `["row", [values]]`; a file is `["file", name]`, its
content as base64 in lines of `["bytes", …]`, and `["file end", hash]`. `["end", {…}]` closes it,
with the hash of all hashes before: what is cut off, exchanged or left out is noticed.
"""

import base64
import gzip
import hashlib
import json
import os
import tempfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple

FORMAT = 1
#: More than that is no line of ours; a longer one would only fill the memory.
_LONGEST_LINE = 256 * 1024 * 1024
#: Good enough, and three times as quick as the best.
_COMPRESSION = 4


class DamagedBackupError(Exception):
    """Raised where a file is no whole backup; says where it is damaged."""


class ArchiveRecord(NamedTuple):
    """One line: its kind, what it says, and the text that its hash is of."""

    kind: str
    content: Any
    text: str


def canonical(value: Any) -> str:
    """The JSON of a value, the same whatever order a database gives the keys of an object in."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


class ArchiveWriter:
    """Writes lines, and the hash of each."""

    def __init__(self, stream: gzip.GzipFile) -> None:
        self._stream = stream
        self._all = hashlib.sha256()

    def write(self, kind: str, content: Any) -> None:
        text = canonical([kind, content]).encode()
        line_hash = hashlib.sha256(text).hexdigest().encode()
        self._all.update(line_hash)
        self._stream.write(line_hash + b" " + text + b"\n")

    def write_bytes(self, content: bytes) -> None:
        self.write("bytes", base64.b64encode(content).decode())

    def close(self, totals: dict[str, int]) -> None:
        self.write("end", totals | {"sha256": self._all.hexdigest()})


@contextmanager
def new_archive(path: Path) -> Iterator[ArchiveWriter]:
    """A backup file that has its name only once it is whole, and that its owner alone can read."""
    handle, part = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as raw:
            with gzip.GzipFile(path.name, "wb", _COMPRESSION, raw) as stream:
                yield ArchiveWriter(stream)
            raw.flush()
            os.fsync(raw.fileno())
        Path(part).replace(path)
    except BaseException:
        Path(part).unlink(missing_ok=True)
        raise


def records(path: Path) -> Iterator[ArchiveRecord]:
    """Each line of a backup, checked. Raises DamagedBackupError, OSError."""
    all_hashes, number, ended = hashlib.sha256(), 0, False
    try:
        with gzip.open(path) as stream:
            while line := stream.readline(_LONGEST_LINE):
                number += 1
                if ended:
                    raise DamagedBackupError("Something stands after its end.")
                before = all_hashes.hexdigest()
                record, line_hash = _read(line)
                all_hashes.update(line_hash)
                ended = record.kind == "end"
                if ended and record.content["sha256"] != before:
                    raise DamagedBackupError("Lines were left out or exchanged.")
                yield record
    except gzip.BadGzipFile as error:
        raise DamagedBackupError(f"It cannot be read after line {number}.") from error
    except (EOFError, zlib.error, UnicodeError, ValueError, KeyError, TypeError) as error:
        raise DamagedBackupError(f"Line {number + 1} is damaged.") from error
    if not ended:
        raise DamagedBackupError("Its end is missing.")


def _read(line: bytes) -> tuple[ArchiveRecord, bytes]:
    """The record, and the hash of its line. Raises ValueError."""
    line_hash, _, text = line.rstrip(b"\n").partition(b" ")
    if hashlib.sha256(text).hexdigest().encode() != line_hash:
        raise ValueError("the hash is another one")
    kind, content = json.loads(text)
    return ArchiveRecord(kind, content, text.decode()), line_hash
