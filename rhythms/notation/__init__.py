"""Engine objects as notation: SVG, MusicXML, Standard MIDI File."""

from rhythms.notation.compressed import mxl
from rhythms.notation.errors import EngravingError
from rhythms.notation.legend import LegendEntry, legend, legend_svg
from rhythms.notation.midi import MIDI_VERSION, block_midi, midi
from rhythms.notation.musicxml import MUSICXML_VERSION, musicxml, musicxml_of_all
from rhythms.notation.svg import SVG_VERSION, bar_svg, svg

__all__ = [
    "MIDI_VERSION",
    "MUSICXML_VERSION",
    "SVG_VERSION",
    "EngravingError",
    "LegendEntry",
    "bar_svg",
    "block_midi",
    "legend",
    "legend_svg",
    "midi",
    "musicxml",
    "musicxml_of_all",
    "mxl",
    "svg",
]
