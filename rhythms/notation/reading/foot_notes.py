"""What percussion plays with the feet, and how to leave it out."""

from __future__ import annotations

from collections.abc import Sequence

from lxml import etree

from rhythms.engine.kits.surfaces import FEET
from rhythms.engine.takes.struck_at_once import Caught
from rhythms.notation.reading.midi_hits import Track
from rhythms.notation.reading.reading_error import ReadingError
from rhythms.notation.reading.struck_notes import number_of
from rhythms.notation.staff_placement import PLACEMENTS

#: Said where something was left out.
LEFT_OUT = "Only the hands were read; bass drum and hi-hat foot were left out."
_ROWS = [PLACEMENTS[surface] for surface in FEET]
#: General MIDI Level 1 has two bass drums; 35 is the one that we do not write.
_KEYS = {35, *(row.key for row in _ROWS)}


def hands_of(track: Track) -> tuple[Track, tuple[str, ...]]:
    """The percussion ``track`` without its feet, and words if it had some.

    Raises ReadingError where nothing is left.
    """
    hits = [hit for hit in track.hits if hit.key not in _KEYS]
    if not hits:
        raise ReadingError(
            "only-feet", "Only the feet play in this file. Untick “Hands only” to read it."
        )
    words = (LEFT_OUT,) if len(hits) < len(track.hits) else ()
    return Track(track.name, track.percussion, hits), words


def leave_feet_out(root: etree._Element, struck: Sequence[Caught | None]) -> tuple[str, ...]:
    """Let the feet of a MusicXML score rest, in place; returns words if it had some.

    ``struck`` says what its numbered notes strike.
    """
    found = False
    for measure in root.iter("measure"):
        for chord in _chords(measure):
            feet = [note for note in chord if _is_of_feet(note, struck)]
            found = found or bool(feet)
            for note in _to_remove(feet, chord):
                measure.remove(note)
    return (LEFT_OUT,) if found else ()


def _chords(measure: etree._Element) -> list[list[etree._Element]]:
    """The notes of a measure; those struck together are one list."""
    chords: list[list[etree._Element]] = []
    for note in measure.iterfind("note"):
        if chords and note.find("chord") is not None:
            chords[-1].append(note)
        else:
            chords.append([note])
    return chords


def _is_of_feet(note: etree._Element, struck: Sequence[Caught | None]) -> bool:
    number = number_of(note)
    caught = struck[number] if number is not None else None
    return caught is not None and caught.surface in FEET


def _to_remove(feet: list[etree._Element], chord: list[etree._Element]) -> list[etree._Element]:
    """The first note of a chord bears its time: a hand takes that over, or a rest."""
    hands = [note for note in chord if note not in feet]
    if hands:
        etree.strip_elements(hands[0], "chord")
        return feet
    if chord[0].find("grace") is not None:
        return feet
    etree.strip_elements(chord[0], "tie", "notations", "lyric")
    for struck in chord[0].iterfind("unpitched"):
        chord[0].replace(struck, etree.Element("rest"))
    return feet[1:]
