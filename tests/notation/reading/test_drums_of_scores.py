"""What the notes of other programs' scores strike: by instrument, staff place, head and signs."""

from __future__ import annotations

import pytest

from rhythms.engine import Fill, Stroke, Surface
from rhythms.notation.reading.file_reader import read_here
from rhythms.notation.reading.result import ReadMeasure
from rhythms.notation.staff_placement import PLACEMENTS
from tests.notation.reading.test_scores import note, rest, score

BACKUP = "<backup><duration>48</duration></backup>"
SNARE, FLOOR_TOM, CRASH, BASS_DRUM = ("C", 5), ("A", 4), ("A", 5), ("F", 4)


def at(place: tuple[str, int], *, head: str = "", chord: bool = False, instrument: str = "") -> str:
    """What stands at the beginning of a note, and its notehead at its end."""
    step, octave = place
    return (
        f"{'<chord/>' if chord else ''}<unpitched><display-step>{step}</display-step>"
        f"<display-octave>{octave}</display-octave></unpitched>"
        + (f'<instrument id="{instrument}"/>' if instrument else "")
        + (f"<notehead>{head}</notehead>" if head else "")
    )


def measure_of(*notes: str) -> ReadMeasure:
    (measure,) = read_here(score("".join(notes))).measures
    return measure


def strokes_of(*notes: str) -> tuple[Stroke, ...]:
    measure = measure_of(*notes)
    assert measure.words == ()
    return measure.fill.strokes


def surfaces_of(*notes: str) -> list:
    return [stroke.surfaces for stroke in strokes_of(*notes)]


@pytest.mark.parametrize("row", PLACEMENTS.values(), ids=lambda row: str(row.surface))
def test_every_place_and_head_of_the_guideline_is_known(row):
    """But for the signs above a hi-hat, which tell more: see below."""
    found = surfaces_of(note(48, what=at((row.step, row.octave), head=row.head)))
    assert found == [(Surface.HI_HAT,)] if row.sign else [(row.surface,)]


def test_a_head_that_is_not_known_is_the_usual_one_of_its_kind_there():
    assert surfaces_of(note(48, what=at(SNARE, head="circle-x"))) == [(Surface.CROSS_STICK,)]
    assert surfaces_of(note(48, what=at(SNARE))) == [(Surface.SNARE,)]


def test_the_second_bass_drum_is_the_bass_drum():
    assert surfaces_of(note(48, what=at(("E", 4)))) == [(Surface.BASS_DRUM,)]


@pytest.mark.parametrize(
    ("sign", "surface"),
    [
        ("open", Surface.OPEN_HI_HAT),
        ("half-muted", Surface.HALF_OPEN_HI_HAT),
        ("stopped", Surface.HI_HAT),
    ],
)
def test_the_sign_above_a_hi_hat_says_how_it_is_struck(sign, surface):
    marks = f"<technical><{sign}/></technical>"
    assert surfaces_of(note(48, what=at(("G", 5), head="x"), marks=marks)) == [(surface,)]


def test_an_instrument_says_more_than_the_place():
    """Some write the ride on the line of the high tom: its MIDI key tells."""
    parts = (
        '<midi-instrument id="I52"><midi-unpitched>52</midi-unpitched></midi-instrument>'
        "</score-part>"
    )
    data = score(note(48, what=at(("E", 5), instrument="I52")))
    (measure,) = read_here(data.replace(b"</score-part>", parts.encode(), 1)).measures
    assert measure.fill.strokes[0].surface == Surface.RIDE


def test_the_notes_of_a_chord_are_struck_together():
    assert surfaces_of(
        note(24, what=at(SNARE)) + note(24, what=at(FLOOR_TOM, chord=True)),
        note(24, what=at(SNARE)),
    ) == [(Surface.SNARE, Surface.FLOOR_TOM), (Surface.SNARE,)]


def test_two_voices_are_struck_together():
    hands = note(24, what=at(CRASH, head="x")) + note(24, what=at(SNARE))
    feet = note(24, what=at(BASS_DRUM), voice=2) + rest(24, voice=2)
    assert surfaces_of(hands + BACKUP + feet) == [
        (Surface.CRASH, Surface.BASS_DRUM),
        (Surface.SNARE,),
    ]


def test_more_than_two_hands_are_left_out_with_words():
    chord = note(48, what=at(SNARE)) + note(48, what=at(FLOOR_TOM, chord=True))
    measure = measure_of(chord + note(48, what=at(CRASH, head="x", chord=True)))
    assert measure.fill.strokes[0].surfaces == (Surface.SNARE, Surface.FLOOR_TOM)
    assert measure.words == ("Left out, as more than two hands strike at once: crash at 1.",)


GRACE = f"<note><grace/>{at(SNARE)}<voice>1</voice></note>"


@pytest.mark.parametrize(("graces", "ornament"), [(1, "flam"), (2, "drag"), (3, "drag")])
def test_grace_notes_are_flams_and_drags(graces, ornament):
    found = strokes_of(GRACE * graces + note(24, what=at(SNARE)) + note(24, what=at(SNARE)))
    assert [stroke.ornament for stroke in found] == [ornament, None]


def test_a_grace_note_on_another_drum_is_no_flam():
    assert strokes_of(GRACE + note(48, what=at(FLOOR_TOM)))[0].ornament is None


@pytest.mark.parametrize(
    ("tremolo", "ornament"),
    [
        ('<tremolo type="single">1</tremolo>', "diddle"),
        ('<tremolo type="unmeasured">0</tremolo>', "buzz"),
        ("<trill-mark/>", None),
    ],
)
def test_strokes_through_a_stem_are_diddles_and_buzzes(tremolo, ornament):
    marks = f"<ornaments>{tremolo}</ornaments>"
    assert strokes_of(note(48, what=at(SNARE), marks=marks))[0].ornament == ornament


def test_accents_and_parentheses_are_the_touch_of_each_head():
    accented = note(48, what=at(SNARE), marks="<articulations><accent/></articulations>")
    ghost = at(FLOOR_TOM, chord=True) + '<notehead parentheses="yes">normal</notehead>'
    (stroke,) = strokes_of(accented + note(48, what=ghost))
    assert [hit.dynamic for hit in stroke.hits] == ["accent", "ghost"]


def lyric(text: str) -> str:
    return f'<lyric number="1"><text>{text}</text></lyric>'


def test_r_and_l_under_a_note_are_its_hands():
    found = strokes_of(
        note(24, what=at(SNARE), extra=lyric("R")), note(24, what=at(SNARE), extra=lyric("L"))
    )
    assert [stroke.limb for stroke in found] == ["R", "L"]


def test_one_hand_under_two_drums_at_once_leaves_both_open():
    chord = note(48, what=at(SNARE), extra=lyric("R"))
    chord += note(48, what=at(FLOOR_TOM, chord=True), extra=lyric("R"))
    assert [hit.limb for hit in strokes_of(chord)[0].hits] == [None, None]


def test_other_words_under_a_note_are_no_hands():
    assert strokes_of(note(48, what=at(SNARE), extra=lyric("17")))[0].limb is None


def test_a_place_where_no_drum_stands_leaves_the_bar_without_a_fill():
    measure = measure_of(note(48, what=at(("B", 2))))
    assert (measure.bar.counts(), measure.fill, measure.words) == ("1 - - -", None, ())


def test_a_tune_has_no_fill():
    pitch = "<pitch><step>G</step><octave>4</octave></pitch>"
    assert measure_of(note(48, what=pitch)).fill is None


def test_a_tied_note_is_struck_once():
    tied = note(24, what=at(CRASH, head="x"), extra='<tie type="start"/>')
    end = note(24, what=at(CRASH, head="x"), extra='<tie type="stop"/>')
    measure = measure_of(tied + end)
    assert measure.fill == Fill(measure.bar, (Stroke(Surface.CRASH),))


@pytest.mark.parametrize("key", ["0", "-5", "999", "x", ""])
def test_an_instrument_with_a_key_that_is_none_goes_by_its_place(key):
    parts = (
        f'<midi-instrument id="I1"><midi-unpitched>{key}</midi-unpitched></midi-instrument>'
        "</score-part>"
    )
    data = score(note(48, what=at(SNARE, instrument="I1")))
    (measure,) = read_here(data.replace(b"</score-part>", parts.encode(), 1)).measures
    assert measure.fill.strokes[0].surface == Surface.SNARE
