"""A file of which only the hands are wanted: its rhythm without bass drum and hi-hat foot."""

from __future__ import annotations

import pytest
from hypothesis import given

from rhythms.engine import Fill
from rhythms.notation import midi, musicxml
from rhythms.notation.reading import ReadingError, read
from rhythms.notation.reading.file_reader import read_here
from rhythms.notation.reading.foot_notes import LEFT_OUT
from tests.notation.reading.test_played_midi import hits, midi_file
from tests.notation.reading.test_round_trip import told_by_midi
from tests.notation.reading.test_scores import note, rest, score
from tests.strategies import fills

#: Staff places of Weinberg's guideline (1994), keys of General MIDI Level 1.
BASS_DRUM, SECOND_BASS_DRUM, HI_HAT_FOOT = ("F", 4), ("E", 4), ("D", 4)
FOOT_KEYS = (35, 36, 44)
TIED = '<tie type="start"/>'


def placed(place: tuple[str, int], *, chord: bool = False) -> str:
    step, octave = place
    return (
        f"{'<chord/>' if chord else ''}<unpitched><display-step>{step}</display-step>"
        f"<display-octave>{octave}</display-octave></unpitched>"
    )


def hands_of(data: bytes) -> str:
    """The count line of the hands, where the feet were left out and nothing else is said."""
    reading = read_here(data, hands_only=True)
    (measure,) = reading.measures
    assert measure.words == ()
    assert reading.words == (LEFT_OUT,)
    return measure.bar.counts()


@pytest.mark.parametrize("key", FOOT_KEYS)
def test_of_a_midi_file_the_keys_of_the_feet_are_left_out(key):
    assert hands_of(midi_file(hits([0, 2, 3]) + hits([0, 1.5, 2.5], key))) == "1 (2) 3 4"


@pytest.mark.parametrize("place", [BASS_DRUM, SECOND_BASS_DRUM, HI_HAT_FOOT])
def test_of_a_score_the_places_of_the_feet_rest(place):
    assert hands_of(score(note(12) + note(12, what=placed(place)) + note(24))) == "1 (2) 3 -"


def test_a_voice_of_the_feet_leaves_the_hands_as_they_are():
    feet = note(18, what=placed(BASS_DRUM), voice=2) + rest(30, voice=2)
    backup = "<backup><duration>48</duration></backup>"
    assert hands_of(score(note(12) * 4 + backup + feet)) == "1 2 3 4"


@pytest.mark.parametrize("first", [True, False])
def test_a_hand_and_a_foot_together_are_the_hand(first):
    together = (note(12, what=placed(BASS_DRUM)), note(12, what=placed(("C", 5), chord=True)))
    if not first:
        together = (note(12), note(12, what=placed(BASS_DRUM, chord=True)))
    assert hands_of(score("".join(together) + note(12) + note(24))) == "1 2 3 -"


def test_a_tie_of_the_feet_holds_no_hand():
    tied = note(12, what=placed(BASS_DRUM), extra=TIED)
    end = note(12, what=placed(BASS_DRUM), extra='<tie type="stop"/>')
    assert hands_of(score(note(12) + tied + end + note(12))) == "1 (2) (3) 4"


def test_a_grace_note_of_the_feet_takes_no_time():
    grace = f"<note><grace/>{placed(BASS_DRUM)}<voice>1</voice></note>"
    assert hands_of(score(note(24) + grace + note(24))) == "1 - 3 -"


def test_where_the_hands_alone_play_there_is_no_remark():
    assert read_here(midi_file(hits([0, 1])), hands_only=True).words == ()
    assert read_here(score(note(24) * 2), hands_only=True).words == ()


def test_the_tune_of_a_pitched_part_is_read_whole():
    notes = hits([0, 1], key=36)
    assert read_here(midi_file(notes, channel=0), hands_only=True).words == ()


def test_a_midi_file_of_the_feet_alone_is_refused():
    with pytest.raises(ReadingError, match="Untick “Hands only”"):
        read_here(midi_file(hits([0, 1], key=36)), hands_only=True)


def test_a_process_with_limits_is_asked_for_the_hands_too():
    data = midi_file(hits([0, 2]) + hits([1], key=36))
    assert read(data, hands_only=True) == read_here(data, hands_only=True)


def of_hands(fill: Fill) -> list:
    return [
        note.onset
        for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True)
        if not stroke.by_foot
    ]


def with_hands(fill: Fill) -> bool:
    return bool(of_hands(fill)) and told_by_midi(fill)


@given(fills().filter(with_hands))
def test_our_own_files_come_back_as_what_the_hands_strike(fill):
    for data in (musicxml(fill).encode(), midi(fill)):
        (measure,) = read_here(data, hands_only=True).measures
        assert [note.onset for note in measure.bar.sounded] == of_hands(fill)
