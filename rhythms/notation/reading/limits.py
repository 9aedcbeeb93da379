"""How much of a file is read. Uploads come from anybody: every quantity has an end.

The sizes leave room for whole books of drum parts; memory and time are those of the child
process that reads one file (see ``sandbox``).
"""

from __future__ import annotations

MOST_BYTES = 4_000_000
#: A file of this size holds more than an hour of drumming; its events are kept one by one.
MOST_MIDI_BYTES = 400_000
MOST_MIDI_EVENTS = 60_000
MOST_MIDI_TRACKS = 200
#: Members of a compressed file, and how many times larger than itself it may unpack.
MOST_MEMBERS = 100
MOST_RATIO = 200
MOST_XML_DEPTH = 40
MOST_NOTES = 6_000
MOST_MEASURES_IN_FILE = 3_000
MOST_PARTS = 20
#: Measures that are read of one file, all parts together.
MOST_MEASURES = 400

MEMORY = 290 * 1024 * 1024
CPU_SECONDS = 20
SECONDS = 40
MOST_ANSWER = 2_000_000
#: How the child leaves where its memory did not suffice.
TOO_MUCH_MEMORY = 42
