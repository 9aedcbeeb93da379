"""MIDI files: typed ones are read as they are, played ones on the counts that were meant."""

from __future__ import annotations

import io
import random
import re

import mido
import pytest

from rhythms.engine import Bar
from rhythms.notation.reading import ReadingError
from rhythms.notation.reading.file_reader import read_here
from tests.thoroughness import amount

SNARE, KICK, FLOOR_TOM = 38, 36, 43
DRUMS = 9
TPQ = 480


def midi_file(*tracks, meter="4/4", tempo=100, channel=DRUMS) -> bytes:
    """Tracks are lists of (quarter, key, velocity, length in quarters)."""
    file = mido.MidiFile(ticks_per_beat=TPQ)
    beats, _, unit = meter.partition("/")
    for number, notes in enumerate(tracks):
        track = mido.MidiTrack()
        file.tracks.append(track)
        if number == 0:
            track.append(mido.MetaMessage("set_tempo", tempo=mido.bpm2tempo(tempo)))
            track.append(
                mido.MetaMessage("time_signature", numerator=int(beats), denominator=int(unit))
            )
        _add(track, notes, channel if isinstance(channel, int) else channel[number])
    written = io.BytesIO()
    file.save(file=written)
    return written.getvalue()


def _add(track, notes, channel):
    events = []
    for at, key, velocity, length in notes:
        events.append((round(at * TPQ), 1, key, velocity))
        events.append((round((at + length) * TPQ), 0, key, 0))
    now = 0
    for tick, on, key, velocity in sorted(events):
        kind = "note_on" if on else "note_off"
        message = mido.Message(kind, channel=channel, note=key, velocity=velocity, time=tick - now)
        track.append(message)
        now = tick


def hits(onsets, key=SNARE, velocity=100, length=0.1):
    return [(at, key, velocity, length) for at in onsets]


def counts(data: bytes) -> list[str]:
    return [measure.bar.counts() for measure in read_here(data).measures]


def test_silence_is_rests_from_the_next_beat_on():
    assert counts(midi_file(hits([0, 0.75, 3]))) == ["1 a (2) (3) 4"]


def test_hands_and_feet_are_one_line():
    assert counts(midi_file(hits([0, 1, 2, 3]) + hits([1.5], KICK))) == ["1 2 & 3 4"]


def test_percussion_of_several_tracks_is_one_part():
    data = midi_file(hits([0, 1, 2, 3]), hits([1.5], KICK))
    assert counts(data) == ["1 2 & 3 4"]


def test_a_loud_stroke_is_an_accent():
    assert counts(midi_file(hits([0, 1, 2]) + hits([3], velocity=120))) == ["1 2 3 4>"]


def test_a_file_that_is_all_as_loud_as_can_be_has_no_accents():
    assert counts(midi_file(hits([0, 1, 2, 3], velocity=127))) == ["1 2 3 4"]


def test_only_percussion_is_read_where_there_is_some():
    reading = read_here(midi_file(hits([0]), hits([0, 2]), channel=(DRUMS, 0)))
    assert [measure.bar.counts() for measure in reading.measures] == ["1 (2) (3) (4)"]
    assert reading.words == ("Only the percussion was read; 1 other part was left out.",)


def test_a_note_of_a_pitched_part_is_held_as_long_as_it_sounds():
    notes = [(0, 60, 90, 1.9), (2, 62, 90, 0.4), (2.5, 64, 90, 0.4)]
    assert counts(midi_file(notes, channel=0)) == ["1 - 3 & (4)"]


def test_measures_follow_the_meter():
    data = midi_file(hits([0, 1, 3, 4.5]), meter="3/4")
    assert counts(data) == ["1 2 (3)", "1 (2) & (3)"]


def test_a_meter_that_is_not_counted_has_a_remark():
    (measure,) = read_here(midi_file(hits([0, 0.5]), meter="5/16")).measures
    assert measure.bar is None
    assert measure.words == ("5/16 is not a meter this tool counts.",)


def test_sextuplets_are_read_as_six():
    """Default quantising of a general-purpose library makes two chords of three of them."""
    onsets = [n / 6 for n in range(6)]
    assert counts(midi_file(hits([*onsets, 1, 2, 3]))) == ["1 trip let & trip let 2 3 4"]


def test_eighth_meters_are_counted_in_eighths():
    onsets = [0, 0.5, 1, 1.5, 1.75, 2]
    assert counts(midi_file(hits(onsets), meter="6/8")) == ["1 2 3 4 & 5"]


# --- played, not typed ---------------------------------------------------------------

PATTERNS = (
    "1 & 2 e & a 3 & 4 e & a",
    "1 e & a 2 & a 3 e & 4",
    "1 trip let 2 trip let 3 trip let 4",
    "1 e & a 2 e & a 3 trip let 4 & a",
    "1 & 2 & 3 & 4 &",
)
TEMPO = 100
SEEDS = amount(10, 4)
MS = TEMPO / 60_000  # quarters in a millisecond


def played(counts: str, scatter: float, shift: float, seed: int) -> bytes:
    """Two bars of it with the looseness of skilled players, in milliseconds."""
    chance = random.Random(seed)
    onsets = [float(note.onset) + 4 * bar for bar in (1, 2) for note in bar_of(counts).sounded]
    moved = [onset + (chance.gauss(0, scatter) + shift) * MS for onset in onsets]
    return midi_file(hits(moved), tempo=TEMPO)


def bar_of(counts: str) -> Bar:
    return Bar.from_counts(counts)


@pytest.mark.parametrize("pattern", PATTERNS)
@pytest.mark.parametrize("shift", [-25, 0, 15])
def test_what_was_meant_is_read_from_what_was_played(pattern, shift):
    """Scatter of 10 ms: players stay within some 10 to 20 ms of a click (Fujii et al. 2011)."""
    wanted = bar_of(pattern)
    right = sum(
        measure.bar is not None and onsets(measure.bar) == onsets(wanted)
        for seed in range(SEEDS)
        for measure in read_here(played(pattern, 10, shift, seed)).measures[1:3]
    )
    assert right >= 2 * SEEDS - 1


def onsets(bar: Bar):
    return [note.onset for note in bar.sounded]


@pytest.mark.parametrize("shift", [-40, -20, 36])
def test_how_early_or_late_a_take_was_played_as_a_whole_is_found(shift):
    (remark,) = read_here(played(PATTERNS[0], 4, shift, 1)).words
    ms, way = re.search(r"(\d+) ms (early|late) as a whole", remark).groups()
    assert int(ms) == pytest.approx(abs(shift), abs=6)
    assert way == ("early" if shift < 0 else "late")


def test_a_remark_says_how_loosely_a_take_was_played():
    (remark,) = read_here(played(PATTERNS[0], 10, -25, 1)).words
    assert remark.startswith("This was played, not typed: strokes scatter by about ")
    assert "early as a whole" in remark


def test_a_typed_file_has_no_remark():
    assert read_here(midi_file(hits([0, 0.5, 1, 1.25, 1.5, 1.75]))).words == ()


def test_a_stroke_that_fits_no_count_has_a_remark():
    (measure,) = read_here(midi_file(hits([0, 0.5, 1, 1.5, 2, 2.46, 3, 3.5]))).measures
    assert measure.bar.counts() == "1 & 2 & 3 & 4 &"
    assert measure.words == ("Off the count: 24 ms early at 3 &.",)


def test_a_flam_is_one_stroke():
    flam = [(0.97, SNARE, 40, 0.02), (1, SNARE, 110, 0.1)]
    (measure,) = read_here(midi_file(hits([0, 2, 3]) + flam)).measures
    assert measure.bar.counts() == "1 2 3 4"
    assert measure.words == ()


def test_two_strokes_too_close_to_count_are_one_with_a_remark():
    """60 ms at this tempo: no flam, as they are on two drums, and half as long as a 32nd."""
    close = hits([0, 1, 2, 3]) + hits([0.05], FLOOR_TOM)
    (measure,) = read_here(midi_file(close, tempo=50)).measures
    assert measure.bar.counts() == "1 2 3 4"
    assert measure.words == ("Strokes too close to count were taken as one: 1.",)


@pytest.mark.parametrize(
    "line",
    ["1 ta e ta & ta a ta 2 3 4", "1 ka di mi ti 2 3 4", "1 e & trip let 2 trip let & a 3 4"],
)
def test_what_is_finer_than_16ths_is_read_as_it_is_counted(line):
    onsets = [float(note.onset) for note in Bar.from_counts(line).sounded]
    assert counts(midi_file(hits(onsets))) == [line]


# --- what is no MIDI file to read ------------------------------------------------------


def header(kind=0, tracks=1, division=TPQ) -> bytes:
    fields = (kind, tracks, division & 0xFFFF)
    return b"MThd\x00\x00\x00\x06" + b"".join(field.to_bytes(2, "big") for field in fields)


def track(events: bytes) -> bytes:
    return b"MTrk" + len(events).to_bytes(4, "big") + events


END = b"\x00\xff\x2f\x00"
ONE_NOTE = track(b"\x00\x99\x26\x40" + END)


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (header() + track(END), "nothing-played"),
        (header() + ONE_NOTE[:10], "damaged"),
        (header() + track(b"\x00\xff\x59\x02\x55\x55" + END), "damaged"),
        (header(division=-7640) + ONE_NOTE, "no-quarters"),
        (header(division=0) + ONE_NOTE, "no-quarters"),
        (header(kind=2) + ONE_NOTE, "midi-type-2"),
        (header(kind=1, tracks=9999) + ONE_NOTE, "too-many-parts"),
        (header() + track(b"\x00\x99\x26\x40" + b"\x01\x26\x40" * 70_000), "too-many-events"),
    ],
)
def test_what_cannot_be_read_is_refused(data, code):
    with pytest.raises(ReadingError) as refused:
        read_here(data)
    assert refused.value.code == code


def test_a_note_after_years_of_silence_ends_the_reading():
    years = b"\xff\xff\xff\x7f"
    data = header(division=1) + track(b"\x00\x99\x26\x40" + (years + b"\x26\x40") * 3 + END)
    measures = read_here(data).measures
    assert [measure.bar and measure.bar.counts() for measure in measures] == ["1 (2) (3) (4)"]


@pytest.mark.parametrize("meter", [(255, 255), (0, 2), (4, 0)])
def test_a_time_signature_of_any_bytes_is_read_or_has_a_remark(meter):
    signature = b"\x00\xff\x58\x04" + bytes(meter) + b"\x18\x08"
    (measure,) = read_here(header() + track(signature + b"\x00\x99\x26\x40" + END)).measures
    assert measure.bar is not None or measure.words
