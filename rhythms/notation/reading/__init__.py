"""Files of other programs: MusicXML, compressed MusicXML and MIDI, read as bars."""

from rhythms.notation.reading.reading_error import ReadingError
from rhythms.notation.reading.result import Reading, ReadMeasure
from rhythms.notation.reading.sandbox import read

__all__ = ["ReadMeasure", "Reading", "ReadingError", "read"]
