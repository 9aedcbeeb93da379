"""A MIDI file as what a kit sent; written here by a general-purpose library."""

import io

import mido
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, FillSpace, Kit, RuleSet
from rhythms.notation import midi
from rhythms.notation.reading import ReadingError
from rhythms.notation.reading.strokes import strokes, strokes_here

TICKS = 480


def written(messages, *, kind: int = 0) -> bytes:
    file = mido.MidiFile(type=kind, ticks_per_beat=TICKS)
    file.tracks.append(mido.MidiTrack(messages))
    data = io.BytesIO()
    file.save(file=data)
    return data.getvalue()


def tempo(beats: float, time: int = 0) -> mido.MetaMessage:
    return mido.MetaMessage("set_tempo", tempo=mido.bpm2tempo(beats), time=time)


def hit(key: int = 38, time: int = 0, velocity: int = 90, channel: int = 9) -> mido.Message:
    return mido.Message("note_on", note=key, velocity=velocity, time=time, channel=channel)


@given(
    st.lists(
        st.tuples(st.integers(0, 2000), st.integers(0, 127), st.integers(1, 127)),
        min_size=1,
        max_size=40,
    ),
    st.integers(30, 240),
)
def test_every_stroke_comes_at_its_time(hits, beats):
    """Times against mido's own clock."""
    data = written([tempo(beats), *(hit(key, time, loud) for time, key, loud in hits)])
    now, wanted = 0.0, []
    for message in mido.MidiFile(file=io.BytesIO(data)):
        now += 1000 * message.time
        if message.type == "note_on":
            wanted.append((now, message.note, message.velocity))
    found = strokes_here(data).events
    assert sorted((key, loud) for _, key, loud in found) == sorted((k, v) for _, k, v in wanted)
    times = [ms for ms, _, _ in found]
    assert times == pytest.approx(sorted(ms for ms, _, _ in wanted), abs=0.02)


def test_a_file_of_ours_gives_tempo_meter_and_strokes():
    bar = Bar.from_counts("1 2 & 3 4 & 5 6", "6/8")
    fill = FillSpace(bar, RuleSet.from_json([]), Kit.standard()).fill(12_345)
    found = strokes(midi(fill, 90))
    assert (found.tempo, found.steady, found.meter) == (90, True, "6/8")
    assert len(found.events) == len(fill.strokes)


def test_a_tempo_that_changes_makes_no_steady_click():
    data = written([tempo(90), hit(), tempo(120, 480), hit(time=480)])
    found = strokes_here(data)
    assert (found.tempo, found.steady) == (90, False)
    assert found.events[1][0] == pytest.approx(60_000 / 90 + 500, abs=0.02)


def test_other_instruments_are_left_out_where_there_is_percussion():
    found = strokes_here(written([hit(60, channel=0), hit(38, 10)]))
    assert [key for _, key, _ in found.events] == [38]


def test_a_kit_on_another_channel_is_heard_where_it_is_alone():
    assert len(strokes_here(written([hit(38, channel=0)])).events) == 1


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "empty"),
        (b"MThd", "damaged"),
        (written([hit()])[:-6], "damaged"),
        (written([]), "nothing-played"),
        (b"<score-partwise/>", "wrong-type"),
        (b"PK\x03\x04" + b"\0" * 40, "wrong-type"),
        (b"MThd" + b"\0" * 10_000_000, "too-large"),
        (written([hit(time=1)] * 65_000), "too-many-events"),
    ],
    ids=["nothing", "head", "cut off", "silent", "MusicXML", "zip", "10 MB", "too many events"],
)
def test_a_file_that_cannot_be_a_take_says_why(data, code):
    with pytest.raises(ReadingError) as refused:
        strokes(data)
    assert refused.value.code == code
    assert refused.value.message.endswith(".")
