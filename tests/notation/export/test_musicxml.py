"""MusicXML read back by music21, a general-purpose library: nothing written is lost."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache
from typing import NamedTuple

import pytest
from hypothesis import given
from lxml import etree
from music21 import converter
from music21.note import GeneralNote, Unpitched
from music21.stream import Measure

from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.engine.bars.values import tuplet_of
from rhythms.engine.fills.fill import snare_fill
from rhythms.notation import musicxml, musicxml_of_all
from rhythms.notation.staff_placement import PLACEMENTS
from tests.strategies import fills, fills_of_one_bar

# music21 knows no ride cymbal; the files name it all the same.
pytestmark = pytest.mark.filterwarnings("ignore:.*does not map to a valid instrument")


@cache
def measure_of(fill: Fill) -> Measure:
    """Read once for all tests, which meet the same fills, from text: by path, the library would
    keep and unpickle a cache of its own."""
    score = converter.parseData(musicxml(fill), format="musicxml")
    (measure,) = score.parts[0].getElementsByClass(Measure)
    return measure


def voices_of(fill: Fill) -> list[list[GeneralNote]]:
    measure = measure_of(fill)
    return [list(voice.notesAndRests) for voice in measure.voices or [measure]]


def notes_of(fill: Fill, *, graces: bool = False) -> list[Unpitched]:
    """The notes of both voices in the order they start."""
    found = [
        note
        for voice in voices_of(fill)
        for note in voice
        if isinstance(note, Unpitched) and note.duration.isGrace == graces
    ]
    return sorted(found, key=lambda note: Fraction(note.offset))


def written(fill: Fill) -> list[tuple]:
    """(the bar's note, its stroke) of every symbol that is not a rest."""
    strokes, found = iter(fill.strokes), []
    for note in fill.bar.notes:
        if not note.rest:
            stroke = found[-1][1] if note.tie else next(strokes)
            found.append((note, stroke))
    return found


class Look(NamedTuple):
    step: str
    octave: int
    head: str
    in_parentheses: bool
    stem: str


def look_of(note: Unpitched) -> Look:
    return Look(
        note.displayStep,
        note.displayOctave,
        note.notehead,
        bool(note.noteheadParenthesis),
        note.stemDirection,
    )


def names(items: list) -> set[str]:
    return {type(item).__name__ for item in items}


@given(fills())
def test_onsets_and_lengths_come_back(fill):
    assert [(note.offset, note.duration.quarterLength) for note in notes_of(fill)] == [
        (note.onset, note.length) for note, _ in written(fill)
    ]


@given(fills())
def test_staff_positions_noteheads_and_stems_come_back(fill):
    expected = []
    for _, stroke in written(fill):
        row = PLACEMENTS[stroke.surface]
        ghost = stroke.dynamic == "ghost"
        expected.append(Look(row.step, row.octave, row.head, ghost, row.stem))
    assert [look_of(note) for note in notes_of(fill)] == expected


@given(fills())
def test_ties_come_back(fill):
    symbols = written(fill)
    following = [note.tie for note, _ in symbols[1:]] + [False]
    names = {(False, True): "start", (True, True): "continue", (True, False): "stop"}
    assert [note.tie.type if note.tie else None for note in notes_of(fill)] == [
        names.get((note.tie, on)) for (note, _), on in zip(symbols, following, strict=False)
    ]


@given(fills())
def test_tuplets_come_back_as_three_in_the_time_of_two_or_five_in_that_of_four(fill):
    ratios = [[t.tupletMultiplier() for t in note.duration.tuplets] for note in notes_of(fill)]
    shares = {None: [], (3, 2): [Fraction(2, 3)], (5, 4): [Fraction(4, 5)]}
    assert ratios == [shares[tuplet_of(note.value)] for note, _ in written(fill)]


@given(fills())
def test_every_tuplet_that_opens_is_closed(fill):
    for voice in voices_of(fill):
        edges = [t.type for note in voice for t in note.duration.tuplets if t.type]
        assert edges == ["start", "stop"] * (len(edges) // 2)


@given(fills())
def test_grace_notes_come_back_on_their_strokes_surface(fill):
    expected = []
    for note in fill.bar.sounded:
        stroke = fill.strokes[note.index]
        row = PLACEMENTS[stroke.surface]
        count = {"flam": 1, "drag": 2}.get(stroke.ornament, 0)
        expected += [(note.onset, row.step, row.octave)] * count
    graces = notes_of(fill, graces=True)
    assert [(note.offset, note.displayStep, note.displayOctave) for note in graces] == expected


@given(fills())
def test_accents_diddles_and_buzzes_come_back_on_the_stroke_that_has_them(fill):
    expected = [
        (
            not note.tie and stroke.dynamic == "accent",
            not note.tie and stroke.ornament in ("diddle", "buzz"),
        )
        for note, stroke in written(fill)
    ]
    assert [
        ("Accent" in names(note.articulations), "Tremolo" in names(note.expressions))
        for note in notes_of(fill)
    ] == expected


@given(fills())
def test_sticking_comes_back_as_lyrics(fill):
    assert [note.lyric for note in notes_of(fill)] == [
        stroke.limb if stroke.limb in ("R", "L") and not note.tie else None
        for note, stroke in written(fill)
    ]


@given(fills())
def test_each_voice_fills_the_bar(fill):
    for voice in voices_of(fill):
        lengths = [Fraction(note.duration.quarterLength) for note in voice]
        assert sum(lengths) == fill.bar.meter.length


@given(fills())
def test_meter_and_clef_come_back(fill):
    measure = measure_of(fill)
    meter = fill.bar.meter
    signature = measure.timeSignature
    terms = [(term.numerator, term.denominator) for term in signature.displaySequence]
    assert terms == [(count, meter.unit) for count in meter.groups or (meter.count,)]
    assert measure.clef.sign == "percussion"


@given(fills())
def test_every_stroke_names_an_instrument_with_its_key(fill):
    """music21 drops the instrument of a single note, so this reads the file itself."""
    score = etree.fromstring(musicxml(fill).encode())
    keys = {
        instrument.get("id"): int(instrument.findtext("midi-unpitched")) - 1
        for instrument in score.iter("midi-instrument")
    }
    for index, stroke in enumerate(fill.strokes):
        note = score.find(f".//note[@id='s{index}']")
        assert keys[note.find("instrument").get("id")] == PLACEMENTS[stroke.surface].key


@given(fills())
def test_the_same_fill_gives_the_same_file(fill):
    assert musicxml(fill) == musicxml(Fill.from_json(fill.to_json()))


def beams_of(counts: str, meter: str = "4/4") -> list[list[str]]:
    score = etree.fromstring(musicxml(snare_fill(Bar.from_counts(counts, meter))).encode())
    return [[beam.text for beam in note.iter("beam")] for note in score.iter("note")]


def test_a_dotted_eighth_and_a_16th_share_a_beam_with_a_hook_back():
    assert beams_of("1 a 2 3 4")[:2] == [["begin"], ["end", "backward hook"]]


def test_a_16th_before_a_dotted_eighth_hooks_forward():
    assert beams_of("1 e 2 3 4")[:2] == [["begin", "forward hook"], ["end"]]


def test_a_siciliano_hooks_back_to_its_dotted_eighth():
    assert beams_of("1 -2 & 3 4", "6/8")[:3] == [
        ["begin"],
        ["continue", "backward hook"],
        ["end"],
    ]


def test_two_16ths_and_an_eighth_share_one_beam_and_half_of_another():
    assert beams_of("1 e & 2 3 4")[:3] == [["begin", "begin"], ["continue", "end"], ["end"]]


def test_beams_go_on_over_a_short_rest():
    assert beams_of("1 (e) & a 2 3 4")[:4] == [["begin"] * 2, [], ["continue"] * 2, ["end"] * 2]


def test_a_linear_fill_rests_the_hands_while_the_feet_play():
    bar = Bar.from_counts("1 e & a 2 3 4")
    hand, foot = Stroke(Surface.SNARE, "R"), Stroke(Surface.BASS_DRUM, "RF")
    hands, feet = voices_of(Fill(bar, (hand, hand, foot, foot, hand, hand, hand)))
    assert [(note.isRest, note.duration.type) for note in hands[:3]] == [
        (False, "16th"),
        (False, "16th"),
        (True, "eighth"),
    ]
    assert all(note.style.hideObjectOnPrint for note in feet if note.isRest)


@pytest.mark.parametrize(("counts", "meter"), [("1 2 3 4 5 6", "6/8"), ("1 2 3 4 5 6 7", "7/8")])
def test_the_feet_begin_where_the_hands_began(counts, meter):
    bar = Bar.from_counts(counts, meter)
    foot = Stroke(Surface.BASS_DRUM, "RF")
    hands = (Stroke(Surface.SNARE, "R"),) * (len(bar.sounded) - 1)
    score = etree.fromstring(musicxml(Fill(bar, (*hands, foot))).encode())
    (backup,) = score.iter("backup")
    first = [int(n.findtext("duration")) for n in score.iter("note") if n.findtext("voice") == "1"]
    assert int(backup.findtext("duration")) == sum(first)


@pytest.mark.parametrize(("ornament", "graces"), [("flam", 1), ("drag", 2)])
def test_a_slur_leads_from_the_first_grace_note_to_the_stroke(ornament, graces):
    bar = Bar.from_counts("1", "1/4")
    fill = Fill(bar, (Stroke(Surface.SNARE, "R", ornament=ornament),))
    notes = list(etree.fromstring(musicxml(fill).encode()).iter("note"))
    slurs = [[slur.get("type") for slur in note.iter("slur")] for note in notes]
    assert slurs == [["start"], *[[]] * (graces - 1), ["stop"]]


def without_ids(measure: etree._Element) -> list[str]:
    notes = [etree.tostring(note) for note in measure.iter("note", "backup")]
    return [re.sub(rb' id="[ms0-9-]+"', b"", note).strip() for note in notes]


@given(fills_of_one_bar())
def test_several_fills_have_a_measure_each_with_the_notes_of_its_own_file(fills):
    score = etree.fromstring(musicxml_of_all(fills, "Line 4").encode())
    measures = score.findall("part/measure")
    own = [etree.fromstring(musicxml(fill).encode()) for fill in fills.values()]
    assert [*map(without_ids, measures)] == [*map(without_ids, own)]
    assert [measure.findtext("direction//words") for measure in measures] == [*fills]
    assert score.findtext("work/work-title") == "Line 4"


def test_fills_of_different_bars_do_not_share_a_file():
    fills = {line: snare_fill(Bar.from_counts(line)) for line in ("1 2 3 4", "1 2 3 (4)")}
    with pytest.raises(ValueError, match="one bar is needed, not 2"):
        musicxml_of_all(fills, "Both")
