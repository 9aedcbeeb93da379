"""Fills as files for other programs."""

from collections.abc import Callable, Mapping
from typing import NamedTuple

from rhythms.engine import Fill
from rhythms.engine.bars.feel import Feel
from rhythms.notation import midi, musicxml, musicxml_of_all, mxl, svg


class Kind(NamedTuple):
    """A kind of file: how its name ends, what it is called, its media type, and how it is made
    of a fill, a tempo in quarters a minute and a feel.
    """

    ending: str
    label: str
    media_type: str
    made: Callable[[Fill, int, Feel], bytes]


_KINDS = (
    # Media types: registered with IANA, save for MIDI's and SVG's, which are common practice.
    Kind(
        "musicxml",
        "MusicXML",
        "application/vnd.recordare.musicxml+xml",
        lambda fill, tempo, feel: musicxml(fill, feel).encode(),
    ),
    Kind(
        "mxl",
        "MusicXML, compressed",
        "application/vnd.recordare.musicxml",
        lambda fill, tempo, feel: mxl(musicxml(fill, feel)),
    ),
    Kind("mid", "MIDI", "audio/midi", midi),
    Kind(
        "svg",
        "Picture (SVG)",
        "image/svg+xml",
        lambda fill, tempo, feel: svg(fill, counts=True, feel=feel).encode(),
    ),
)
#: By the ending of their names. All are made while one waits.
KINDS = {kind.ending: kind for kind in _KINDS}
#: Those that hold several fills of one bar, each under its words, in a file with a title.
OF_ALL: dict[str, Callable[[Mapping[str, Fill], str, Feel], bytes]] = {
    "musicxml": lambda fills, title, feel: musicxml_of_all(fills, title, feel).encode(),
    "mxl": lambda fills, title, feel: mxl(musicxml_of_all(fills, title, feel)),
}
