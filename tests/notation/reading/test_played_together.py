"""Played MIDI files: what sounds together is one stroke, and words say what is not in it."""

from __future__ import annotations

from itertools import chain
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, Surface
from rhythms.engine.fills.fill import Hit, stroke_of
from rhythms.notation.reading.file_reader import read_here
from rhythms.notation.reading.result import ReadMeasure
from rhythms.notation.staff_placement import PLACEMENTS
from tests.notation.reading.test_played_midi import hits, midi_file
from tests.thoroughness import examples

SNARE, FLOOR_TOM, HIGH_TOM, RIDE, KICK, FOOT = 38, 43, 48, 51, 36, 44
TEMPO = 100
MS = TEMPO / 60_000  # quarters in a millisecond
#: Loose enough that nobody takes it for typed: in ms, at each of 16 eighths.
LOOSE = [9, -7, 12, -12, 4, -9, 7, -4, 11, -11, 5, -6, 8, -8, 6, -5]


def steady(key: int = SNARE) -> list:
    """Two bars of eighths, a little loose, so that a place has neighbours to be judged by."""
    return hits([place / 2 + late * MS for place, late in enumerate(LOOSE)], key)


def at(place: int, ms: float, key: int, velocity: int = 100) -> list:
    """One hit so many ms from the hit that `steady` has at an eighth."""
    return hits([place / 2 + (LOOSE[place] + ms) * MS], key, velocity)


def measure_of(*notes: list) -> ReadMeasure:
    return read_here(midi_file(sorted(chain(*notes)), tempo=TEMPO)).measures[0]


def struck(measure: ReadMeasure) -> dict:
    fill = measure.fill
    pairs = zip(fill.bar.sounded, fill.strokes, strict=True)
    return {note.onset: stroke for note, stroke in pairs}


def test_two_drums_24_ms_apart_are_one_stroke():
    measure = measure_of(steady(), at(4, 24, FLOOR_TOM))
    assert struck(measure)[2].surfaces == (Surface.SNARE, Surface.FLOOR_TOM)
    assert (len(measure.bar.sounded), measure.words) == (8, ())


def test_two_drums_45_ms_apart_are_two_strokes():
    measure = measure_of(steady(), at(4, 45, FLOOR_TOM))
    assert len(measure.bar.sounded) == 9
    assert all(len(stroke.surfaces) == 1 for stroke in measure.fill.strokes)


@pytest.mark.parametrize(("key", "surface"), [(KICK, "bass drum"), (FOOT, "hi-hat foot")])
def test_a_foot_up_to_40_ms_early_is_under_the_hand(key, surface):
    measure = measure_of(steady(), at(4, -40, key, 60))
    assert struck(measure)[2].surfaces == (Surface.SNARE, surface)
    assert len(measure.bar.sounded) == 8


def test_two_hands_on_one_drum_are_a_flam():
    measure = measure_of(steady(), at(4, -35, SNARE, 40))
    assert struck(measure)[2].ornament == "flam"


def test_head_and_rim_at_once_are_one_stroke():
    measure = measure_of(steady(), at(4, 4, 40, 120))
    assert struck(measure)[2].surfaces == (Surface.RIM_SHOT,)
    assert measure.words == ()


def test_of_three_drums_the_softest_is_left_out_and_words_say_so():
    measure = measure_of(steady(), at(4, 4, FLOOR_TOM), at(4, 8, RIDE, 20))
    assert struck(measure)[2].surfaces == (Surface.SNARE, Surface.FLOOR_TOM)
    assert measure.words == ("Left out, as more than two hands strike at once: ride at 3.",)


def test_grace_notes_are_left_out_where_the_other_hand_strikes_and_words_say_so():
    measure = measure_of(steady(), at(4, -35, SNARE, 40), at(4, 3, FLOOR_TOM))
    assert struck(measure)[2].ornament is None
    assert measure.words == (
        "Written without its grace note, as the other hand strikes too: snare at 3.",
    )


@pytest.mark.parametrize(
    ("key", "surface"),
    [
        (22, "hi-hat"),
        (26, "open hi-hat"),
        (46, "open hi-hat"),
        (40, "rim shot"),
        (37, "cross-stick"),
        (55, "crash"),
        (58, "floor tom"),
        (59, "ride"),
    ],
)
def test_keys_of_electronic_kits_are_known_in_what_was_played(key, surface):
    assert {str(one) for one in measure_of(steady(key)).fill.surfaces} == {surface}


@pytest.mark.parametrize(("key", "surface"), [(55, "splash"), (52, "china"), (49, "crash")])
def test_keys_are_those_of_general_midi_in_what_was_typed(key, surface):
    (measure,) = read_here(midi_file(hits([0, 1, 2, 3], key))).measures
    assert {str(one) for one in measure.fill.surfaces} == {surface}


def test_a_key_that_is_no_drum_leaves_the_bar_without_a_fill():
    (measure,) = read_here(midi_file(hits([0, 1, 2, 3], key=54))).measures
    assert (measure.bar.counts(), measure.fill) == ("1 2 3 4", None)


def test_a_tune_has_a_bar_and_no_fill():
    (measure,) = read_here(midi_file(hits([0, 1, 2, 3], key=60), channel=0)).measures
    assert measure.fill is None


def test_notes_of_a_tune_are_each_their_own_whatever_drum_has_their_key():
    together = hits([0, 1, 2, 3], key=38) + hits([0.01, 1.01, 2.01, 3.01], key=40)
    (measure,) = read_here(midi_file(together, channel=0)).measures
    assert measure.bar.counts() == "1 2 3 4"


def test_touch_is_told_drum_by_drum():
    measure = measure_of(steady(), at(4, 5, FLOOR_TOM, 30))
    assert [hit.dynamic for hit in struck(measure)[2].hits] == ["normal", "ghost"]


HANDS = [Surface.SNARE, Surface.HIGH_TOM, Surface.FLOOR_TOM, Surface.RIDE, Surface.CRASH]


def together_on(bar: Bar, random: Random) -> Fill:
    made = []
    for _ in bar.sounded:
        hands = random.sample(HANDS, random.choice([1, 1, 2]))
        feet = [Hit(Surface.BASS_DRUM, "RF")] if random.random() < 0.3 else []
        made.append(stroke_of([*map(Hit, hands), *feet]))
    return Fill(bar, tuple(made))


@pytest.mark.parametrize("tempo", [60, 90, 120])
@pytest.mark.parametrize("counts", ["1 & 2 e & a 3 & 4 e & a", "1 trip let 2 3 e & a 4 trip let"])
@examples(40)
@given(seed=st.integers(0, 10_000))
def test_strokes_together_up_to_10_ms_off_are_read_back_as_they_were(tempo, counts, seed):
    random = Random(seed)
    fill = together_on(Bar.from_counts(counts), random)
    notes = [
        (4 + float(note.onset) + random.uniform(-10, 10) * tempo / 60_000, hit.surface)
        for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True)
        for hit in stroke.hits
    ]
    data = midi_file([(on, PLACEMENTS[one].key, 100, 0.03) for on, one in notes], tempo=tempo)
    _, measure = read_here(data).measures
    assert [note.onset for note in measure.bar.sounded] == [n.onset for n in fill.bar.sounded]
    assert measure.fill.strokes == fill.strokes
