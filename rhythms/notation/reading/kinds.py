"""What a file is, by its first bytes: its name proves nothing."""

from __future__ import annotations

from rhythms.notation.reading.limits import MOST_BYTES, MOST_MIDI_BYTES
from rhythms.notation.reading.reading_error import ReadingError

MUSICXML, MXL, MIDI = "MusicXML", "MXL", "MIDI"

_MARKS = ((b"MThd", MIDI), (b"PK\x03\x04", MXL))
_STARTS = (b"<", b"\xef\xbb\xbf<", b"\xff\xfe<", b"\xfe\xff\x00<")
#: Enough to tell by.
HEAD = 64
_PDF = "A PDF is a picture of the page: export MusicXML or MIDI from the program it comes from."
_OTHER = (
    "This is neither MusicXML, nor compressed MusicXML (.mxl), nor a MIDI file. "
    "Export one of these from your notation program."
)


def kind_of(head: bytes) -> str:
    """``MUSICXML``, ``MXL`` or ``MIDI`` from a file's first bytes. Raises ReadingError."""
    if not head:
        raise ReadingError("empty", "The file is empty. Export it once more.")
    for mark, kind in _MARKS:
        if head.startswith(mark):
            return kind
    if head.lstrip(b" \t\r\n").startswith(_STARTS):
        return MUSICXML
    raise ReadingError("wrong-type", _PDF if head.startswith(b"%PDF") else _OTHER)


def check_size(kind: str, size: int) -> None:
    """Raise ReadingError for a file of more than its kind's ``size`` in bytes."""
    most = MOST_MIDI_BYTES if kind == MIDI else MOST_BYTES
    if size > most:
        raise ReadingError(
            "too-large",
            f"The file has {_in_mb(size)}; a {kind} file may have up to {_in_mb(most)}. "
            "Export only the part or the page that you want.",
        )


def _in_mb(size: int) -> str:
    if size < 1_000_000:
        return f"{size // 1000} KB"
    return f"{size / 1_000_000:.1f} MB".replace(".0 ", " ")
