"""What a MIDI file plays: hits in time, parts, time signatures. Read event by event by mido."""

from __future__ import annotations

import io
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from rhythms.notation.export.smf import DRUM_CHANNEL
from rhythms.notation.late_import import LateImport
from rhythms.notation.reading.limits import MOST_MIDI_EVENTS, MOST_MIDI_TRACKS
from rhythms.notation.reading.reading_error import ReadingError

if TYPE_CHECKING:
    import mido
else:
    mido = LateImport("mido")

_DAMAGED = "The MIDI file is damaged or cut off. Export it once more."
#: Half a second, the tempo of a file that names none (Standard MIDI File Specification 1.1).
_DEFAULT_TEMPO = 500_000


@dataclass(frozen=True)
class MidiHit:
    """One key struck at ``tick``, let go at ``end``; it ``bounces`` where soft ones are its own."""

    tick: int
    end: int
    key: int
    velocity: int
    bounces: bool = False


@dataclass
class Track:
    """The hits of one track on one channel."""

    name: str
    percussion: bool
    hits: list[MidiHit] = field(default_factory=list)


@dataclass
class PlayedMidi:
    """``tempos`` are (tick, microseconds a quarter), ``signatures`` (tick, count, unit)."""

    ticks_per_quarter: int
    tracks: list[Track]
    tempos: list[tuple[int, int]]
    signatures: list[tuple[int, int, int]]
    texts: list[tuple[int, str]]


def played(data: bytes) -> PlayedMidi:
    """What the file plays. Raises ReadingError."""
    file = _file(data)
    found = PlayedMidi(file.ticks_per_beat, [], [(0, _DEFAULT_TEMPO)], [(0, 4, 4)], [])
    for number, track in enumerate(file.tracks, start=1):
        found.tracks += _Listener(found, number).tracks_of(track)
    found.tempos.sort(key=lambda tempo: tempo[0])
    found.signatures.sort(key=lambda signature: signature[0])
    return found


def _file(data: bytes) -> mido.MidiFile:
    if int.from_bytes(data[10:12], "big") > MOST_MIDI_TRACKS:
        raise ReadingError("too-many-parts", f"The file has over {MOST_MIDI_TRACKS} tracks.")
    if data[8:10] == b"\x00\x02":
        raise ReadingError(
            "midi-type-2", "The file is a collection of patterns (type 2). Export a type 0 or 1."
        )
    if data[12:13] >= b"\x80" or data[12:14] == b"\x00\x00":
        raise ReadingError(
            "no-quarters", "The file counts film frames, not beats. Export it with musical time."
        )
    try:
        file = mido.MidiFile(file=io.BytesIO(data), clip=True)
    except (EOFError, OSError, ValueError, LookupError, TypeError, mido.KeySignatureError) as error:
        raise ReadingError("damaged", _DAMAGED) from error
    events = sum(map(len, file.tracks))
    if events > MOST_MIDI_EVENTS:
        raise ReadingError(
            "too-many-events",
            f"The file has {events:,} events; up to {MOST_MIDI_EVENTS:,} are read. "
            "Export only the part that you want.",
        )
    return file


class _Listener:
    """Walks over one track."""

    def __init__(self, found: PlayedMidi, number: int) -> None:
        self.found = found
        self.name = ""
        self.number = number
        self.tick = 0
        self.sounding: dict[tuple[int, int], tuple[int, int]] = {}
        self.hits: defaultdict[int, list[MidiHit]] = defaultdict(list)

    def tracks_of(self, track: mido.MidiTrack) -> Iterator[Track]:
        """One track for each channel on which something sounds."""
        for message in track:
            self.tick += message.time
            self._hear(message)
        for channel, key in list(self.sounding):
            self._let_go(channel, key)
        for channel, hits in sorted(self.hits.items()):
            hits.sort(key=lambda hit: hit.tick)
            yield Track(self.name or f"Track {self.number}", channel == DRUM_CHANNEL, hits)

    def _hear(self, message: mido.Message | mido.MetaMessage) -> None:
        if message.type in ("note_on", "note_off"):
            self._let_go(message.channel, message.note)
            if message.type == "note_on" and message.velocity:
                self.sounding[message.channel, message.note] = self.tick, message.velocity
        elif message.type == "set_tempo":
            self.found.tempos.append((self.tick, message.tempo))
        elif message.type == "time_signature":
            signature = self.tick, message.numerator, message.denominator
            self.found.signatures.append(signature)
        elif message.type == "track_name":
            self.name = self.name or " ".join(message.name.split())[:80]
        elif message.type == "text":
            self.found.texts.append((self.tick, message.text[:500]))

    def _let_go(self, channel: int, key: int) -> None:
        if (channel, key) in self.sounding:
            tick, velocity = self.sounding.pop((channel, key))
            self.hits[channel].append(MidiHit(tick, self.tick, key, velocity))
