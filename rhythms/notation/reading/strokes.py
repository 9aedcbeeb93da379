"""A MIDI file as what a kit sent: every stroke with its time, nothing moved onto a grid."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from rhythms.engine.bars.meter import Meter
from rhythms.engine.errors import MeterError
from rhythms.notation.reading import sandbox
from rhythms.notation.reading.kinds import HEAD, MIDI, check_size, kind_of
from rhythms.notation.reading.midi_bar_lines import Clock
from rhythms.notation.reading.midi_hits import PlayedMidi, played
from rhythms.notation.reading.reading_error import ReadingError

_MINUTE = 60_000


@dataclass(frozen=True)
class Strokes:
    """``events`` are (ms, key, velocity) in order of time.

    ``tempo`` in quarters a minute where the file begins; ``steady`` where it never changes.
    ``meter`` "" where the file has none that is counted here, or changes it.
    """

    events: tuple[tuple[float, int, int], ...]
    tempo: int
    steady: bool
    meter: str

    @property
    def click(self) -> tuple[float, float] | None:
        """The only tempo of the file, in quarters a minute, and the ms of its first bar line."""
        return (self.tempo, 0.0) if self.tempo and self.steady else None

    def to_json(self) -> dict[str, Any]:
        """Plain JSON."""
        return asdict(self)

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Strokes:
        """The inverse of ``to_json``."""
        events = tuple((float(ms), int(key), int(velocity)) for ms, key, velocity in data["events"])
        return cls(events, data["tempo"], data["steady"], data["meter"])


def strokes(data: bytes) -> Strokes:
    """The strokes of a MIDI file, read in a process with limits. Raises ReadingError."""
    kind = kind_of(data[:HEAD])
    if kind != MIDI:
        raise ReadingError(
            "wrong-type", f"This is a {kind} file. A take is a MIDI file, as a kit records it."
        )
    check_size(kind, len(data))
    return Strokes.from_json(sandbox.ask("strokes", data))


def strokes_here(data: bytes) -> Strokes:
    """The same in this process. Raises ReadingError."""
    found = played(data)
    percussion = [track for track in found.tracks if track.percussion] or found.tracks
    clock = Clock(found.tempos, found.ticks_per_quarter)
    events = sorted(
        (round(clock.milliseconds(hit.tick), 2), hit.key, hit.velocity)
        for track in percussion
        for hit in track.hits
    )
    if not events:
        raise ReadingError("nothing-played", "No note is played in this MIDI file.")
    tempos = {tempo for _, tempo in _since_the_start(found)}
    return Strokes(
        tuple(events),
        round(_MINUTE / clock.quarter_at(0)),
        len(tempos) == 1,
        _meter(found),
    )


def _since_the_start(found: PlayedMidi) -> list[tuple[int, int]]:
    """The tempos that are heard: of several at one tick the last."""
    return list(dict(found.tempos).items())


def _meter(found: PlayedMidi) -> str:
    signatures = {(count, unit) for count, unit in dict(_by_tick(found)).values()}
    if len(signatures) != 1:
        return ""
    count, unit = signatures.pop()
    try:
        return str(Meter(count, unit))
    except MeterError:
        return ""


def _by_tick(found: PlayedMidi) -> list[tuple[int, tuple[int, int]]]:
    return [(tick, (count, unit)) for tick, count, unit in found.signatures]
