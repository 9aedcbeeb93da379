"""Strokes of several limbs in MusicXML, read back by music21: chords, and a voice for the feet."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest
from hypothesis import given
from lxml import etree
from music21 import converter
from music21.note import GeneralNote, Unpitched
from music21.percussion import PercussionChord
from music21.stream import Measure

from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.engine.fills.fill import HANDS, Hit, stroke_of
from rhythms.notation import musicxml
from rhythms.notation.staff_placement import PLACEMENTS, from_the_top
from tests.strategies import fills

pytestmark = pytest.mark.filterwarnings("ignore:.*does not map to a valid instrument")

CRASH, SNARE, FLOOR_TOM = Hit(Surface.CRASH, "R"), Hit(Surface.SNARE, "L"), Hit(Surface.FLOOR_TOM)
BASS_DRUM, HI_HAT_FOOT = Hit(Surface.BASS_DRUM, "RF"), Hit(Surface.HI_HAT_FOOT, "LF")


def together(counts: str, *strokes: tuple[Hit, ...], meter: str = "4/4") -> Fill:
    return Fill(Bar.from_counts(counts, meter), tuple(map(stroke_of, strokes)))


def voices_of(fill: Fill) -> list[list[GeneralNote]]:
    score = converter.parseData(musicxml(fill), format="musicxml")
    (measure,) = score.parts[0].getElementsByClass(Measure)
    return [list(voice.notesAndRests) for voice in measure.voices or [measure]]


def heads_of(note: GeneralNote) -> list[Unpitched]:
    return list(note.notes) if isinstance(note, PercussionChord) else [note]


def attacks_of(voices: list[list[GeneralNote]]) -> list[GeneralNote]:
    return [
        note
        for voice in voices
        for note in voice
        if not (note.isRest or note.duration.isGrace or (note.tie and note.tie.type != "start"))
    ]


def struck(fill: Fill) -> list[tuple[Fraction, Stroke]]:
    return [(note.onset, fill.strokes[note.index]) for note in fill.bar.sounded]


@given(fills(together=True))
def test_everything_that_is_struck_comes_back_at_its_onset_and_place(fill):
    found = Counter(
        (Fraction(note.offset), head.displayStep, head.displayOctave, head.notehead)
        for note in attacks_of(voices_of(fill))
        for head in heads_of(note)
    )
    placed = ((onset, PLACEMENTS[hit.surface]) for onset, s in struck(fill) for hit in s.hits)
    assert found == Counter((onset, row.step, row.octave, row.head) for onset, row in placed)


@given(fills(together=True))
def test_each_ghost_has_its_own_parentheses(fill):
    found = Counter(
        (Fraction(note.offset), head.displayStep, head.displayOctave, head.notehead)
        for note in attacks_of(voices_of(fill))
        for head in heads_of(note)
        if head.noteheadParenthesis
    )
    ghosts = (
        (onset, PLACEMENTS[hit.surface])
        for onset, stroke in struck(fill)
        for hit in stroke.hits
        if hit.dynamic == "ghost"
    )
    assert found == Counter((onset, row.step, row.octave, row.head) for onset, row in ghosts)


@given(fills(together=True))
def test_each_voice_fills_the_bar_and_rests_only_where_it_does_not_play(fill):
    hands = [onset for onset, stroke in struck(fill) if stroke.hand_hits]
    feet = [onset for onset, stroke in struck(fill) if stroke.foot_hits]
    for voice, onsets in zip(voices_of(fill), filter(None, (hands, feet)), strict=False):
        assert sum(Fraction(note.duration.quarterLength) for note in voice) == fill.bar.meter.length
        assert sorted(Fraction(note.offset) for note in attacks_of([voice])) == onsets


@given(fills(together=True))
def test_the_hand_of_the_higher_head_stands_above_the_other(fill):
    found = {
        Fraction(note.offset): [
            lyric.text for lyric in sorted(note.lyrics, key=lambda lyric: lyric.number)
        ]
        for note in attacks_of(voices_of(fill))
        if note.lyrics
    }
    by_hand = {
        onset: [hit.limb for hit in from_the_top(stroke.hand_hits) if hit.limb in HANDS]
        for onset, stroke in struck(fill)
    }
    assert found == {onset: hands for onset, hands in by_hand.items() if hands}


@given(fills(together=True))
def test_every_hit_names_an_instrument_with_its_key(fill):
    score = etree.fromstring(musicxml(fill).encode())
    keys = {
        instrument.get("id"): int(instrument.findtext("midi-unpitched")) - 1
        for instrument in score.iter("midi-instrument")
    }
    found = Counter(
        keys[note.find("instrument").get("id")] for note in score.iter("note") if note.get("id")
    )
    assert found == Counter(PLACEMENTS[hit.surface].key for hit in fill.hits)


def test_two_hands_are_one_chord_with_one_stem_and_one_beam():
    fill = together("1 & 2 3 4", (SNARE, CRASH), (SNARE,), (SNARE,), (SNARE,), (SNARE,))
    first, second, *_ = etree.fromstring(musicxml(fill).encode()).iter("note")
    assert [note.find("chord") is None for note in (first, second)] == [True, False]
    assert [note.get("id") for note in (first, second)] == ["s0", "s0-1"]
    assert [len(note.findall("beam")) for note in (first, second)] == [1, 0]


def test_a_foot_under_a_hand_is_in_the_feets_voice_and_the_hands_do_not_rest():
    fill = together("1 2 3 4", (CRASH, BASS_DRUM), (SNARE,), (SNARE,), (SNARE,))
    hands, feet = voices_of(fill)
    assert [note.isRest for note in hands] == [False] * 4
    assert [(note.isRest, note.duration.type) for note in feet] == [
        (False, "quarter"),
        *[(True, "quarter")] * 3,
    ]


def test_feet_under_hands_last_until_the_next_foot_or_the_next_beat():
    fill = together(
        "1 e & a 2 & 3 4",
        *((CRASH, BASS_DRUM), (SNARE,), (SNARE,), (SNARE, BASS_DRUM)),
        *((SNARE,), (SNARE, HI_HAT_FOOT), (BASS_DRUM, HI_HAT_FOOT), (SNARE,)),
    )
    _, feet = voices_of(fill)
    assert [(note.isRest, note.duration.quarterLength) for note in feet] == [
        (False, 0.75),
        (False, 0.25),
        (True, 0.5),
        (False, 0.5),
        (False, 1),
        (True, 1),
    ]


def test_a_foot_under_a_hand_ends_where_the_bar_rests():
    fill = together("1 (&) 2 3 4", (CRASH, BASS_DRUM), (SNARE,), (SNARE,), (SNARE,))
    _, feet = voices_of(fill)
    assert [(note.isRest, note.duration.quarterLength) for note in feet[:2]] == [
        (False, 0.5),
        (True, 0.5),
    ]


def test_a_flam_over_the_bass_drum_keeps_its_grace_note_in_the_hands_voice():
    fill = Fill(
        Bar.from_counts("1 2 3 4"),
        (stroke_of((SNARE, BASS_DRUM), "flam"), *[Stroke(Surface.SNARE)] * 3),
    )
    hands, feet = voices_of(fill)
    assert [note.duration.isGrace for note in hands] == [True, False, False, False, False]
    assert not any(note.duration.isGrace for note in feet)
