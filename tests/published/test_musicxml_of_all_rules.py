"""MusicXML of fills of all rules: valid, and read back by music21 as written."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from typing import NamedTuple

import pytest
from lxml import etree
from music21 import converter
from music21.note import Unpitched
from music21.stream import Measure

from rhythms.engine import Fill
from rhythms.engine.bars.values import tuplet_of
from rhythms.notation import musicxml
from rhythms.notation.staff_placement import PLACEMENTS
from tests.published.fills_of_all_rules import N, fills_of_all_rules
from tests.published.test_musicxml_schema import SCHEMA

pytestmark = [
    pytest.mark.law,
    # music21 knows no ride cymbal; the files name it all the same.
    pytest.mark.filterwarnings("ignore:.*does not map to a valid instrument"),
]

GRACES = {"flam": 1, "drag": 2}
#: The strokes through a stem that the library finds; a buzz, which is not measured, has none.
TREMOLOS = {"diddle": 1, "buzz": 0}


class Written(NamedTuple):
    """One note as notation has it; times in quarters."""

    onset: Fraction
    length: Fraction
    position: tuple[str, int]
    head: str
    in_parentheses: bool
    stem: str
    tie: str | None
    in_a_tuplet: bool
    graces: int
    accent: bool
    tremolo: int | None
    sticking: str | None


def meant(fill: Fill) -> list[Written]:
    """What the engine says."""
    notes = [note for note in fill.bar.notes if not note.rest]
    strokes = iter(fill.strokes)
    found: list[Written] = []
    stroke = None
    for note, after in zip(notes, (*notes[1:], None), strict=True):
        stroke = stroke if note.tie else next(strokes)
        row = PLACEMENTS[stroke.surface]
        ties = note.tie, after is not None and after.tie
        found.append(
            Written(
                note.onset,
                note.length,
                (row.step, row.octave),
                row.head,
                stroke.dynamic == "ghost",
                row.stem,
                {(False, True): "start", (True, True): "continue", (True, False): "stop"}.get(ties),
                tuplet_of(note.value) is not None,
                0 if note.tie else GRACES.get(stroke.ornament, 0),
                stroke.dynamic == "accent" and not note.tie,
                None if note.tie else TREMOLOS.get(stroke.ornament),
                stroke.limb if stroke.limb in ("R", "L") and not note.tie else None,
            )
        )
    return found


def read(fill: Fill) -> list[Written]:
    """What the library finds. From text, never by path: by path it unpickles a cache."""
    score = converter.parseData(musicxml(fill), format="musicxml")
    return [
        note
        for measure in score.parts[0].getElementsByClass(Measure)
        for note in _in_measure(measure, Fraction(measure.offset))
    ]


def _in_measure(measure: Measure, start: Fraction) -> list[Written]:
    voices = [list(voice.notesAndRests) for voice in measure.voices or [measure]]
    unpitched = [note for voice in voices for note in voice if isinstance(note, Unpitched)]
    graces = Counter(_place(note, start) for note in unpitched if note.duration.isGrace)
    notes = [note for note in unpitched if not note.duration.isGrace]
    return [_found(note, start, graces) for note in sorted(notes, key=lambda note: note.offset)]


def _place(note: Unpitched, start: Fraction) -> tuple:
    return start + Fraction(note.offset), (note.displayStep, note.displayOctave)


def _found(note: Unpitched, start: Fraction, graces: Counter) -> Written:
    onset, position = _place(note, start)
    return Written(
        onset,
        Fraction(note.duration.quarterLength),
        position,
        note.notehead,
        bool(note.noteheadParenthesis),
        note.stemDirection,
        note.tie.type if note.tie else None,
        bool(note.duration.tuplets),
        graces[onset, position],
        any(type(mark).__name__ == "Accent" for mark in note.articulations),
        _tremolo(note),
        note.lyric,
    )


def _tremolo(note: Unpitched) -> int | None:
    marks = [mark for mark in note.expressions if type(mark).__name__ == "Tremolo"]
    return marks[0].numberOfMarks if marks else None


def test_there_are_as_many_different_fills_as_asked_for():
    fills = fills_of_all_rules()
    assert len({str(fill.to_json()) for fill in fills}) > N * 0.9
    assert len(fills) == N


def test_they_need_every_surface_limb_dynamic_and_ornament():
    strokes = [stroke for fill in fills_of_all_rules() for stroke in fill.strokes]
    assert {stroke.surface for stroke in strokes} == set(PLACEMENTS)
    assert {stroke.limb for stroke in strokes} == {None, "R", "L", "RF", "LF"}
    assert {stroke.dynamic for stroke in strokes} == {"normal", "ghost", "accent"}
    assert {stroke.ornament for stroke in strokes} == {None, "flam", "drag", "diddle", "buzz"}


def test_every_file_is_valid_against_the_standards_schema():
    for fill in fills_of_all_rules():
        SCHEMA.assertValid(etree.fromstring(musicxml(fill).encode()))


def test_every_note_comes_back_as_it_was_written():
    """Of fills in which strokes are together `test_musicxml_strokes_together` says it."""
    for fill in fills_of_all_rules():
        if not (fill.ostinato or any(stroke.beside for stroke in fill.strokes)):
            assert read(fill) == meant(fill)
