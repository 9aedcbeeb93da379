"""The measures of a MIDI file: played strokes on the counts that they fit best."""

from __future__ import annotations

from rhythms.notation.reading.foot_notes import hands_of
from rhythms.notation.reading.limits import MOST_PARTS
from rhythms.notation.reading.midi_hits import Track, played
from rhythms.notation.reading.midi_part import MidiPart
from rhythms.notation.reading.raw import Source, left_out
from rhythms.notation.reading.reading_error import ReadingError


def source_of_midi(data: bytes, *, hands_only: bool = False) -> Source:
    """The percussion as one part, or each pitched part. Raises ReadingError."""
    found = played(data)
    if not found.tracks:
        raise ReadingError("nothing-played", "No note is played in this MIDI file.")
    percussion = [track for track in found.tracks if track.percussion]
    pitched = [track for track in found.tracks if not track.percussion]
    chosen = [_joined(percussion)] if percussion else pitched[:MOST_PARTS]
    words = left_out(len(pitched)) if percussion else ()
    if percussion and hands_only:
        hands, feet = hands_of(chosen[0])
        chosen, words = [hands], words + feet
    takes = [MidiPart(found, track) for track in chosen]
    remarks = tuple(word for take in takes for word in take.words)
    return Source("", tuple(take.part() for take in takes), words + remarks)


def _joined(tracks: list[Track]) -> Track:
    hits = sorted((hit for track in tracks for hit in track.hits), key=lambda hit: hit.tick)
    return Track(tracks[0].name, True, hits)
