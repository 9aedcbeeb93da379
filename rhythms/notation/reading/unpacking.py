"""Compressed MusicXML: its score, taken out with an eye on every size.

After W3C MusicXML 4.0, "Compressed .MXL files": META-INF/container.xml names the score. Only
that one member is unpacked, in memory, and never under the name it has in the file.
"""

from __future__ import annotations

import io
import zipfile
import zlib

from rhythms.notation.reading.limits import MOST_BYTES, MOST_MEMBERS, MOST_RATIO
from rhythms.notation.reading.reading_error import ReadingError
from rhythms.notation.reading.safe_xml import parse

_CONTAINER = "META-INF/container.xml"
_MOST_CONTAINER = 20_000
_BROKEN = ReadingError("damaged", "The compressed file is damaged or cut off. Export it once more.")
_BOMB = ReadingError(
    "too-large-inside",
    "The file unpacks to far more than a score needs. Export the score uncompressed, as MusicXML.",
)


def score_in(data: bytes) -> bytes:
    """The score inside a .mxl file. Raises ReadingError."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return _score(archive, len(data))
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError) as error:
        if isinstance(error, ReadingError):
            raise
        raise _BROKEN from error
    except RuntimeError as error:  # also NotImplementedError, of an unknown compression
        raise ReadingError(
            "locked", "The file is encrypted or packed in a way .mxl files are not."
        ) from error


def _score(archive: zipfile.ZipFile, size: int) -> bytes:
    members = archive.infolist()
    if len(members) > MOST_MEMBERS:
        raise ReadingError(
            "too-many-inside", f"The file holds {len(members)} files; a score needs a few."
        )
    content = _member(archive, _score_name(archive), MOST_BYTES)
    if len(content) > MOST_RATIO * max(size, 1000):
        raise _BOMB
    return content


def _score_name(archive: zipfile.ZipFile) -> str:
    if _CONTAINER not in archive.namelist():
        raise ReadingError(
            "not-mxl", "This is a zip file without a score in it. Export .mxl or MusicXML."
        )
    root = parse(_member(archive, _CONTAINER, _MOST_CONTAINER))
    names = [found.get("full-path") for found in root.iter("{*}rootfile", "rootfile")]
    if not names or names[0] not in archive.namelist():
        raise ReadingError("not-mxl", "The compressed file does not hold the score that it names.")
    return str(names[0])


def _member(archive: zipfile.ZipFile, name: str, most: int) -> bytes:
    """What is stored may say anything of its size: count while unpacking."""
    with archive.open(name) as file:
        content = file.read(most + 1)
    if len(content) > most:
        raise _BOMB
    return content
