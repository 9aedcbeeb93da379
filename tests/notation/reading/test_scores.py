"""MusicXML of other programs: the bars that come of it, and remarks on the rest."""

from __future__ import annotations

import pytest

from rhythms.notation.reading import ReadingError
from rhythms.notation.reading.file_reader import read_here
from rhythms.notation.reading.result import Reading, ReadMeasure

PERCUSSION = (
    "<unpitched><display-step>C</display-step><display-octave>5</display-octave></unpitched>"
)
PITCH = "<pitch><step>G</step><octave>4</octave></pitch>"


def note(duration, *, what=PERCUSSION, extra="", marks="", voice=1):
    notations = f"<notations>{marks}</notations>" if marks else ""
    return (
        f"<note>{what}<duration>{duration}</duration>{extra}<voice>{voice}</voice>"
        f"{notations}</note>"
    )


def rest(duration, voice=1):
    return f"<note><rest/><duration>{duration}</duration><voice>{voice}</voice></note>"


def attributes(meter="4/4", divisions=12):
    beats, _, unit = meter.partition("/")
    return (
        f"<attributes><divisions>{divisions}</divisions>"
        f"<time><beats>{beats}</beats><beat-type>{unit}</beat-type></time></attributes>"
    )


def score(*measures, meter="4/4", divisions=12, title="", more_parts=()):
    """A score of one part, and ``more_parts`` of one measure each."""
    inside = [*measures]
    inside[0] = attributes(meter, divisions) + inside[0]
    parts = [inside, *([attributes(meter, divisions) + part] for part in more_parts)]
    listed = "".join(
        f'<score-part id="P{n}"><part-name>Part {n}</part-name></score-part>'
        for n, _ in enumerate(parts, start=1)
    )
    written = "".join(
        f'<part id="P{n}">'
        + "".join(f'<measure number="{m}">{body}</measure>' for m, body in enumerate(part, 1))
        + "</part>"
        for n, part in enumerate(parts, start=1)
    )
    work = f"<work><work-title>{title}</work-title></work>" if title else ""
    return (
        f'<?xml version="1.0"?><score-partwise version="4.0">{work}'
        f"<part-list>{listed}</part-list>{written}</score-partwise>"
    ).encode()


def read(*args, **kwargs) -> Reading:
    return read_here(score(*args, **kwargs))


def one(*measures, **kwargs) -> ReadMeasure:
    (measure,) = read(*measures, **kwargs).measures
    return measure


def counts(measure: ReadMeasure) -> str:
    assert measure.words == ()
    return measure.bar.counts()


def test_notes_and_rests_become_counts():
    measure = one(note(12) + note(6) + note(6) + rest(12) + note(3) * 4)
    assert counts(measure) == "1 2 & (3) 4 e & a"


def test_triplets_become_counts():
    measure = one(note(4) * 3 + note(2) * 6 + note(24))
    assert counts(measure) == "1 trip let 2 trip let & trip let 3 -"


@pytest.mark.parametrize("mark", ["accent", "strong-accent"])
def test_accents_are_kept(mark):
    accented = note(12, marks=f"<articulations><{mark}/></articulations>")
    assert counts(one(note(12) + accented + note(24))) == "1 2> 3 -"


def test_a_tied_note_is_struck_once():
    tied = note(12, extra='<tie type="start"/>') + note(12, extra='<tie type="stop"/>')
    assert counts(one(note(12) + tied + note(12))) == "1 2 - 4"


def test_a_note_held_over_the_bar_line_is_a_rest_in_the_next_bar():
    first = note(36) + note(12, extra='<tie type="start"/>')
    second = note(12, extra='<tie type="stop"/>') + note(36)
    measures = read(first, second).measures
    assert counts(measures[0]) == "1 - - 4"
    assert measures[1].bar.counts() == "(1) 2 - -"
    assert measures[1].words == ("A note held over from the measure before is a rest here.",)


def test_grace_notes_are_left_out():
    grace = f"<note><grace/>{PERCUSSION}<voice>1</voice></note>"
    assert counts(one(note(12) + grace + note(12) + note(24))) == "1 2 3 -"


def test_the_notes_of_a_chord_are_one_stroke():
    chord = note(12) + note(12, what=f"<chord/>{PERCUSSION}")
    assert counts(one(chord * 4)) == "1 2 3 4"


def test_voices_share_one_line_of_strokes():
    hands = note(6) * 8
    feet = note(12, voice=2) + rest(9, voice=2) + note(3, voice=2) + note(24, voice=2)
    backup = "<backup><duration>48</duration></backup>"
    assert counts(one(hands + backup + feet)) == "1 & 2 & a 3 & 4 &"


def test_the_rhythm_of_a_pitched_part_is_taken():
    measure = one(note(18, what=PITCH) + note(6, what=PITCH) + note(24, what=PITCH))
    assert counts(measure) == "1 - & 3 -"


def test_only_percussion_is_read_where_there_is_some():
    reading = read(note(48, what=PITCH), more_parts=[note(24) * 2])
    assert reading.parts == ("Part 2",)
    assert [counts(measure) for measure in reading.measures] == ["1 - 3 -"]
    assert reading.words == ("Only the percussion was read; 1 other part was left out.",)


def test_every_pitched_part_is_read_where_there_is_no_percussion():
    reading = read(note(48, what=PITCH), more_parts=[note(24, what=PITCH) * 2])
    assert reading.parts == ("Part 1", "Part 2")
    assert [counts(measure) for measure in reading.measures] == ["1 - - -", "1 - 3 -"]


def test_the_title_of_the_work_is_the_title():
    assert read(note(48), title="Page  12\n of the green book").title == (
        "Page 12 of the green book"
    )


@pytest.mark.parametrize(("written", "counted"), [("2/2", "4/4"), ("3/2", "6/4"), ("12/16", "6/8")])
def test_a_meter_of_another_unit_is_counted_in_one_of_the_same_length(written, counted):
    beats, _, unit = written.partition("/")
    measure = one(note(int(beats) * 48 // int(unit)), meter=written)
    assert str(measure.bar.meter) == counted
    assert measure.words == (f"Written in {written}; counted here in {counted}.",)


def test_a_meter_that_is_not_counted_has_a_remark():
    measure = one(note(5 * 3), meter="5/16")
    assert measure.bar is None
    assert measure.words == ("5/16 is not a meter this tool counts.",)


def test_a_pickup_is_read_with_its_bar():
    (measure,) = read(note(6) * 2, note(48)).measures
    assert measure.bar.counts() == "4 & | 1 - - -"
    assert measure.number == "2"
    assert measure.words == ()


def test_a_note_of_a_pickup_may_go_on_over_the_bar_line():
    first = note(6) + note(6, extra='<tie type="start"/>')
    second = note(12, extra='<tie type="stop"/>') + note(36)
    assert counts(one(first, second)) == "4 & | - 2 - -"


def test_a_short_first_measure_without_a_whole_bar_behind_it_gets_its_rests_before_it():
    measure = read(note(6) * 2, note(36)).measures[0]
    assert measure.bar.counts() == "(1) - - 4 &"
    assert measure.words == (
        "It lasts 1 quarter of the 4 quarters of 4/4; rests are put before it.",
    )


def test_groups_of_a_time_signature_are_kept():
    measure = one(note(6) * 7, meter="3+2+2/8")
    assert str(measure.bar.meter) == "7/8 (3+2+2)"
    assert measure.bar.counts() == "1 2 3 4 5 6 7"
    assert measure.words == ()


def test_a_short_measure_later_on_gets_its_rests_behind_it():
    measure = read(note(48), note(18)).measures[1]
    assert measure.bar.counts() == "1 - (&) (3) -"
    assert measure.words == (
        "It lasts 1 1/2 quarters of the 4 quarters of 4/4; rests are put after it.",
    )


def test_a_measure_that_is_too_long_makes_no_bar():
    measure = one(note(48) + note(12))
    assert measure.bar is None
    assert measure.words == ("It lasts 5 quarters; a bar of 4/4 lasts 4 quarters.",)


def test_a_measure_of_rests_makes_no_bar():
    measure = one(rest(48))
    assert measure.bar is None
    assert measure.words == ("Nothing is struck in this measure.",)


def test_32nds_quintuplets_and_halves_of_a_beat_come_in_as_they_are_counted():
    measure = one(
        note(15) * 8 + note(24) * 5 + note(30) * 2 + note(20) * 3 + note(120), divisions=120
    )
    assert measure.bar.counts() == "1 ta e ta & ta a ta 2 ka di mi ti 3 e & trip let 4"
    assert measure.words == ()


def test_what_is_finer_is_moved_to_counts_and_a_remark_counts_those_left():
    measure = one(note(2) * 12 + note(48) + note(24), divisions=24)
    assert measure.bar.counts() == "1 ta e ta & ta a ta 2 - 4"
    (words,) = measure.words
    assert words.startswith("Beat 1 is finer than 32nds or mixes what is not counted in one beat")
    assert words.endswith("of its 12 notes 8 are left.")


def test_a_septuplet_is_moved_to_counts():
    measure = one(note(12) * 7 + note(252), divisions=84)
    assert [remark.partition(": ")[2] for remark in measure.words] == [
        "its notes are moved to the nearest counts."
    ]


def test_the_meter_lasts_until_the_next_one():
    second = attributes("3/4") + note(36)
    measures = read(note(48), second, note(12) * 3).measures
    assert [str(measure.bar.meter) for measure in measures] == ["4/4", "3/4", "3/4"]


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"<html><body/></html>", "not-a-score"),
        (b'<score-timewise version="4.0"><part-list/></score-timewise>', "not-a-score"),
        (b"<score-partwise><part-list/></score-partwise>", "no-measures"),
        (score(note("lots")), "not-a-score"),
        (score(note(48))[:200], "damaged"),
    ],
)
def test_what_is_no_score_is_refused(data, code):
    with pytest.raises(ReadingError) as refused:
        read_here(data)
    assert refused.value.code == code
