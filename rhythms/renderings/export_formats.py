"""Fills as files for other programs."""

from collections.abc import Callable, Mapping
from typing import NamedTuple

from rhythms.engine import Fill
from rhythms.notation import midi, musicxml, musicxml_of_all, mxl, svg


class Kind(NamedTuple):
    """A kind of file: how its name ends, what it is called, its media type, and how it is made
    of a fill and a tempo in quarters a minute.
    """

    ending: str
    label: str
    media_type: str
    made: Callable[[Fill, int], bytes]


_KINDS = (
    # Media types: registered with IANA, save for MIDI's and SVG's, which are common practice.
    Kind(
        "musicxml",
        "MusicXML",
        "application/vnd.recordare.musicxml+xml",
        lambda fill, tempo: musicxml(fill).encode(),
    ),
    Kind(
        "mxl",
        "MusicXML, compressed",
        "application/vnd.recordare.musicxml",
        lambda fill, tempo: mxl(musicxml(fill)),
    ),
    Kind("mid", "MIDI", "audio/midi", midi),
    Kind(
        "svg", "Picture (SVG)", "image/svg+xml", lambda fill, tempo: svg(fill, counts=True).encode()
    ),
)
#: By the ending of their names. All are made while one waits.
KINDS = {kind.ending: kind for kind in _KINDS}
#: Those that hold several fills of one bar, each under its words, in a file with a title.
OF_ALL: dict[str, Callable[[Mapping[str, Fill], str], bytes]] = {
    "musicxml": lambda fills, title: musicxml_of_all(fills, title).encode(),
    "mxl": lambda fills, title: mxl(musicxml_of_all(fills, title)),
}
