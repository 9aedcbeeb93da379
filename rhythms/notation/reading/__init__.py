"""Files of other programs: MusicXML, compressed MusicXML and MIDI, read as bars.

Anybody may send a file, so `read` hands its bytes to a child process that has a ceiling for memory
and time, writes no file and knows nothing of the site's environment (`sandbox`, `limits`). There:

- `kinds`, `unpacking`, `safe_xml`: what a file is; .mxl unpacked, XML parsed, with an eye on sizes;
- `score`: music21 reads checked text, never a path: all voices become one line of strikes;
  `struck_notes`: what each of its notes strikes;
- `midi_file` and its neighbours: mido reads events, bar lines and clock; grace notes and bounces
  join their stroke (`blows`), hands and feet that sound together each other (`midi_moments`);
- `fitting`: each beat on the grid that fits best; how loosely and how early a take was played;
- `pickups`, `several_bars`: measures that are one bar of ours;
- `foot_notes`: what “Hands only” leaves out; `spelling`: strikes to a bar that can be counted,
  `struck_fill`: with what two hands and two feet strike on it; both with words for what gave way.

A typed file is read as it is. A bar has one line: hands and feet (unless the teacher wants the
hands alone), or the notes of a chord, are one stroke on several drums. What notes do not tell, such
as how silence is divided, comes along in our own files as a count line
(`rhythms.notation.count_line_text`), and is believed only where it has the same strokes; so our own
exports come back exactly, but for MIDI's hands, doubles and half-open hi-hats: what sounds comes
back.
"""

from rhythms.notation.reading.reading_error import ReadingError
from rhythms.notation.reading.result import Reading, ReadMeasure
from rhythms.notation.reading.sandbox import read

__all__ = ["ReadMeasure", "Reading", "ReadingError", "read"]
