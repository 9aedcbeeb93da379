"""The bytes of a Standard MIDI File, format 0.

After the Standard MIDI File Format Specification 1.1 (MIDI Manufacturers Association).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

#: General MIDI's "channel 10", counted from 0.
DRUM_CHANNEL = 9
_MICROSECONDS_PER_MINUTE = 60_000_000
_LONGEST_QUARTER = 0xFFFFFF
_LARGEST_VLQ = 0x0FFFFFFF
_END_OF_TRACK = b"\xff\x2f\x00"


class MidiEvent(NamedTuple):
    """``message`` at ``tick``, counted from the start of the track."""

    tick: int
    message: bytes


def smf(events: Iterable[MidiEvent], ticks_per_quarter: int, end: int) -> bytes:
    """A file of one track that ends at tick ``end``; events in order, none after it."""
    header = b"".join(number.to_bytes(2, "big") for number in (0, 1, ticks_per_quarter))
    return _chunk(b"MThd", header) + _chunk(b"MTrk", _track(events, end))


def tempo(quarters_per_minute: int) -> bytes:
    """Set Tempo. Raises ValueError where the microseconds of a quarter do not fit 24 bits."""
    if quarters_per_minute < 1:
        raise ValueError(f"A tempo of {quarters_per_minute} is not a speed.")
    quarter = round(_MICROSECONDS_PER_MINUTE / quarters_per_minute)
    if not 1 <= quarter <= _LONGEST_QUARTER:
        raise ValueError(f"A MIDI file cannot hold a tempo of {quarters_per_minute}.")
    return b"\xff\x51\x03" + quarter.to_bytes(3, "big")


def time_signature(count: int, unit: int, clocks_per_click: int) -> bytes:
    """Time Signature: ``unit`` a power of 2; 24 clocks are a quarter, and 8 of its 32nds."""
    return b"\xff\x58\x04" + bytes((count, unit.bit_length() - 1, clocks_per_click, 8))


def text(words: str) -> bytes:
    """Text Event; ``words`` in ASCII."""
    return b"\xff\x01" + vlq(len(words)) + words.encode("ascii")


def note_on(channel: int, key: int, velocity: int) -> bytes:
    """Note On; ``channel`` counted from 0."""
    return bytes((0x90 | channel, key, velocity))


def note_off(channel: int, key: int, velocity: int) -> bytes:
    """Note Off; ``channel`` counted from 0."""
    return bytes((0x80 | channel, key, velocity))


def vlq(number: int) -> bytes:
    """A variable-length quantity. Raises ValueError outside 0 to 0FFFFFFF (hexadecimal)."""
    if not 0 <= number <= _LARGEST_VLQ:
        raise ValueError(f"{number} does not fit a variable-length quantity.")
    groups = [number & 0x7F]
    while number := number >> 7:
        groups.append(number & 0x7F | 0x80)
    return bytes(reversed(groups))


def _track(events: Iterable[MidiEvent], end: int) -> bytes:
    written, now = bytearray(), 0
    for event in (*events, MidiEvent(end, _END_OF_TRACK)):
        written += vlq(event.tick - now) + event.message
        now = event.tick
    return bytes(written)


def _chunk(kind: bytes, content: bytes) -> bytes:
    return kind + len(content).to_bytes(4, "big") + content
