"""Engine objects as notation: SVG, MusicXML, Standard MIDI File."""

from typing import TYPE_CHECKING

from rhythms.engine.late_names import late_names

if TYPE_CHECKING:
    from rhythms.notation.engraving.legend import LegendEntry, legend, legend_svg
    from rhythms.notation.engraving.svg import SVG_VERSION, bar_svg, svg
    from rhythms.notation.engraving_error import EngravingError
    from rhythms.notation.export.midi import MIDI_VERSION, block_midi, midi
    from rhythms.notation.export.musicxml import MUSICXML_VERSION, musicxml, musicxml_of_all
    from rhythms.notation.export.mxl import mxl
else:
    __getattr__ = late_names(
        __name__,
        {
            "engraving.legend": "LegendEntry legend legend_svg",
            "engraving.svg": "SVG_VERSION bar_svg svg",
            "engraving_error": "EngravingError",
            "export.midi": "MIDI_VERSION block_midi midi",
            "export.musicxml": "MUSICXML_VERSION musicxml musicxml_of_all",
            "export.mxl": "mxl",
        },
    )

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
