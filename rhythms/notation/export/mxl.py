"""MusicXML compressed: one zip file with a table of contents, as the standard's 4.0 describes."""

from __future__ import annotations

import io
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

_TYPE = "application/vnd.recordare.musicxml"
_SCORE = "score.musicxml"
_CONTAINER = f"""<?xml version="1.0" encoding="UTF-8"?>
<container>
  <rootfiles>
    <rootfile full-path="{_SCORE}" media-type="{_TYPE}+xml"/>
  </rootfiles>
</container>
"""
#: The earliest day that a zip file can hold; so the same score gives the same file.
_NO_DATE = (1980, 1, 1, 0, 0, 0)


def mxl(score: str) -> bytes:
    """The MusicXML text ``score`` as a compressed ``.mxl`` file.

    As the standard wants it: first the media type, stored as it is, then the container that
    names the score.
    """
    file = io.BytesIO()
    with ZipFile(file, "w") as archive:
        archive.writestr(_member("mimetype", ZIP_STORED), _TYPE)
        archive.writestr(_member("META-INF/container.xml", ZIP_DEFLATED), _CONTAINER)
        archive.writestr(_member(_SCORE, ZIP_DEFLATED), score)
    return file.getvalue()


def _member(name: str, compression: int) -> ZipInfo:
    info = ZipInfo(name, _NO_DATE)
    info.compress_type = compression
    return info
