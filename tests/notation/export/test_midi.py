"""MIDI read back by a general library: what sounds when, and how hard."""

import io
from fractions import Fraction

import mido
import pytest
from hypothesis import given

from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.notation import midi
from rhythms.notation.export.midi import ACCENT_VELOCITY, GHOST_VELOCITY, NORMAL_VELOCITY
from rhythms.notation.staff_placement import PLACEMENTS
from tests.strategies import fills

VELOCITIES = {"ghost": GHOST_VELOCITY, "normal": NORMAL_VELOCITY, "accent": ACCENT_VELOCITY}


def read(fill: Fill, tempo: int = 100) -> mido.MidiFile:
    return mido.MidiFile(file=io.BytesIO(midi(fill, tempo)))


def played(fill: Fill) -> list[tuple[Fraction, int, int]]:
    """(quarters from the start, key, velocity) of everything struck."""
    return [(at, m.note, m.velocity) for at, m in timed(fill) if m.type == "note_on"]


def timed(fill: Fill) -> list[tuple[Fraction, mido.Message]]:
    ticks, found = 0, []
    file = read(fill)
    for message in file.tracks[0]:
        ticks += message.time
        found.append((Fraction(ticks, file.ticks_per_beat), message))
    return found


def on_snare(counts: str, **ornaments: str) -> Fill:
    """A bar on the snare; ``s2="flam"`` puts a flam on its third stroke."""
    bar = Bar.from_counts(counts)
    strokes = (
        Stroke(Surface.SNARE, ornament=ornaments.get(f"s{note.index}")) for note in bar.sounded
    )
    return Fill(bar, tuple(strokes))


@given(fills(ornaments=False))
def test_every_stroke_sounds_at_its_time_on_its_key_as_hard_as_written(fill):
    assert played(fill) == [
        (note.onset, PLACEMENTS[stroke.surface].key, VELOCITIES[stroke.dynamic])
        for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True)
    ]


@given(fills())
def test_ornamented_strokes_keep_their_time_after_the_first(fill):
    struck = {(at, key, velocity) for at, key, velocity in played(fill)}
    for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True):
        if note.onset > 0:
            sound = PLACEMENTS[stroke.surface].key, VELOCITIES[stroke.dynamic]
            assert (note.onset, *sound) in struck


@given(fills().filter(lambda fill: all(each.ornament != "buzz" for each in fill.strokes)))
def test_ornaments_add_one_stroke_or_two(fill):
    added = {None: 0, "flam": 1, "drag": 2, "diddle": 1}
    expected = sum(1 + added[stroke.ornament] for stroke in fill.strokes)
    assert len(played(fill)) == expected


@given(fills())
def test_no_two_strokes_fall_together_and_every_key_is_let_go_before_the_next(fill):
    notes = [message for _, message in timed(fill) if message.type in ("note_on", "note_off")]
    for on, off in zip(notes[::2], notes[1::2], strict=True):
        assert (on.type, off.type) == ("note_on", "note_off")
        assert on.note == off.note
        assert off.time > 0


@given(fills())
def test_the_track_lasts_as_long_as_the_bar_on_the_drum_channel(fill):
    at, last = timed(fill)[-1]
    assert (at, last.type) == (fill.bar.meter.length, "end_of_track")
    assert {m.channel for _, m in timed(fill) if not m.is_meta} <= {9}


@given(fills())
def test_meter_and_tempo_are_in_the_file(fill):
    meta = {message.type: message for message in read(fill, 90).tracks[0] if message.is_meta}
    meter = fill.bar.meter
    signature = meta["time_signature"]
    assert (signature.numerator, signature.denominator) == (meter.count, meter.unit)
    assert mido.tempo2bpm(meta["set_tempo"].tempo) == pytest.approx(90, abs=1e-4)


def test_a_silent_bar_is_a_file_without_strokes():
    assert played(on_snare("(1) (2) (3) (4)")) == []


def test_a_flam_is_a_soft_stroke_just_before():
    assert played(on_snare("1 2 3 4", s1="flam"))[1:3] == [
        (1 - Fraction(1, 20), 38, GHOST_VELOCITY),
        (1, 38, NORMAL_VELOCITY),
    ]


def test_a_drag_is_two_soft_strokes_just_before():
    assert played(on_snare("1 2 3 4", s1="drag"))[1:4] == [
        (1 - Fraction(2, 20), 38, GHOST_VELOCITY),
        (1 - Fraction(1, 20), 38, GHOST_VELOCITY),
        (1, 38, NORMAL_VELOCITY),
    ]


def test_a_diddle_is_two_even_strokes():
    first = (0, 38, NORMAL_VELOCITY)
    assert played(on_snare("1 & 2 3 4", s0="diddle"))[:3] == [
        first,
        (Fraction(1, 4), 38, NORMAL_VELOCITY),
        (Fraction(1, 2), 38, NORMAL_VELOCITY),
    ]


def test_a_bar_that_opens_with_a_flam_starts_with_its_grace_note():
    assert played(on_snare("1 2 3 4", s0="flam"))[:3] == [
        (0, 38, GHOST_VELOCITY),
        (Fraction(1, 20), 38, NORMAL_VELOCITY),
        (1, 38, NORMAL_VELOCITY),
    ]


def test_grace_notes_of_a_ghost_are_no_louder_than_the_ghost():
    bar = Bar.from_counts("1 2 3 4")
    ghost = Stroke(Surface.SNARE, dynamic="ghost", ornament="drag")
    assert {velocity for _, _, velocity in played(Fill(bar, (ghost,) * 4))} == {GHOST_VELOCITY}
