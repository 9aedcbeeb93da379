"""Takes of a call with an answer left open, and of phrases: what was asked, and what was free."""

from __future__ import annotations

import pytest

from rhythms.engine import Bar, Fill, Kit, Meter, Surface
from rhythms.engine.bars.phrases import phrase_of
from rhythms.engine.bars.turned import with_own_answer
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.takes import Recording, analyse
from tests.engine.takes.simulated_player import KEYS, VELOCITY, Errors, play

FOUR, KIT, TEMPO = Meter(4, 4), Kit.standard(), 100
CALL = Bar.from_counts("1 & 2 e & a 3 & 4")
ANSWER = snare_fill(Bar.from_counts("1 e & 2 & 3 4 e & a"))


def answered(answer: Fill | None, errors: Errors, *, loops: int = 2):
    """Two bars of groove, the call, and in the bar left open this answer on the floor tom."""
    fill = snare_fill(with_own_answer(CALL))
    played = play(fill, TEMPO, errors, 5, bars=4, loops=loops)
    quarter = 60_000 / TEMPO
    for loop in range(loops if answer else 0):
        start = played.start + (16 * loop + 12) * quarter
        played.events += [
            (start + float(note.onset) * quarter, KEYS[Surface.FLOOR_TOM], VELOCITY["normal"])
            for note in answer.bar.sounded
        ]
    recording = Recording(sorted(played.events), FOUR, KIT, click=(TEMPO, played.start))
    return analyse(recording, fill)


@pytest.mark.parametrize("errors", [Errors(jitter=0.0), Errors(jitter=8.0)])
def test_an_answer_is_taken_as_it_was_played(errors):
    found = answered(ANSWER, errors)
    assert len(found.answers) == 2
    for one in found.answers:
        assert one.bar.meter == FOUR
        assert [note.onset for note in one.bar.sounded] == [
            note.onset for note in ANSWER.bar.sounded
        ]
        assert {stroke.surface for stroke in one.strokes} == {Surface.FLOOR_TOM}


def test_no_stroke_of_an_answer_is_too_many_or_part_of_the_call():
    found = answered(ANSWER, Errors(jitter=0.0))
    assert all(one.complete and not one.extras for one in found.attempts)
    assert [len(fill.strokes) for fill in found.fills] == [len(CALL.sounded)] * 2


def test_a_call_with_a_stroke_missed_is_read_without_the_answer():
    found = answered(ANSWER, Errors(jitter=0.0, drops=0.3))
    incomplete = [f for f, a in zip(found.fills, found.attempts, strict=True) if not a.complete]
    assert incomplete
    assert all(note.onset < 4 for fill in incomplete for note in fill.bar.sounded)
    assert len(found.answers) == len(found.attempts)


def test_who_leaves_the_answer_out_has_none():
    found = answered(None, Errors(jitter=0.0))
    assert found.attempts
    assert found.answers == ()
    assert found.to_json()["answers"] == 0


def test_groove_between_the_fills_of_a_phrase_is_not_a_stroke_too_many():
    fill = snare_fill(phrase_of(CALL, 4, 2))
    played = play(fill, TEMPO, Errors(jitter=0.0), 1, bars=4)
    found = analyse(Recording(played.events, FOUR, KIT, click=(TEMPO, played.start)), fill)
    assert len(found.attempts) == 2
    assert all(one.complete and not one.extras for one in found.attempts)


def test_what_was_played_for_a_phrase_is_read_without_the_groove_in_it():
    fill = snare_fill(phrase_of(CALL, 4, 2))
    played = play(fill, TEMPO, Errors(jitter=0.0, drops=0.4), 2, bars=4)
    found = analyse(Recording(played.events, FOUR, KIT, click=(TEMPO, played.start)), fill)
    assert any(not one.complete for one in found.attempts)
    for one in found.fills:
        assert not any(8 <= note.onset < 12 or note.onset < 6 for note in one.bar.sounded)
