"""Feet that keep going as they are written: a line below the hands, in every format."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree
from music21 import converter
from music21.percussion import PercussionChord

from rhythms.engine import Bar, Fill, Meter, Stroke, Surface
from rhythms.engine.fills.fill import Hit, snare_fill, stroke_of
from rhythms.engine.playback.ostinato_library import ostinato_named, typed_ostinato
from rhythms.notation import legend, musicxml, svg
from rhythms.notation.fill_text import description
from rhythms.notation.layout.voices import voices
from rhythms.notation.player import fill_json
from rhythms.notation.staff_placement import PLACEMENTS
from tests.strategies import fills, ostinatos
from tests.thoroughness import examples

pytestmark = pytest.mark.filterwarnings("ignore:.*does not map to a valid instrument")
SVG = "{http://www.w3.org/2000/svg}"
BASS, HAT = Surface.BASS_DRUM, Surface.HI_HAT_FOOT


@st.composite
def going(draw: st.DrawFn) -> Fill:
    fill = draw(fills(together=True))
    return Fill(fill.bar, fill.strokes, draw(ostinatos(fill.bar.meter)))


def over(counts: str, name: str, meter: str = "4/4") -> Fill:
    bar = Bar.from_counts(counts, meter)
    return replace(snare_fill(bar), ostinato=ostinato_named(name, bar.meter.one_bar))


def feet_of(fill: Fill) -> list[tuple[str, Fraction]]:
    """What stands in the feet's line, and for how long."""
    _, feet = voices(fill)
    return [
        ("note" if s.stroke else "hidden" if s.hidden else "rest", s.length) for s in feet.symbols
    ]


def in_quarters(*items: str) -> list[tuple[str, Fraction]]:
    return [(what, Fraction(length)) for what, length in (item.split() for item in items)]


def test_a_foot_on_two_and_four_is_a_quarter_there_and_nothing_elsewhere():
    assert feet_of(over("1 & 2 & 3 & 4 &", "hi-hat foot on 2 and 4")) == in_quarters(
        "hidden 1", "note 1", "hidden 1", "note 1"
    )


def test_feet_last_up_to_the_next_one_within_their_beat():
    beat = in_quarters("note 1/2", "note 1/4", "note 1/4")
    assert feet_of(over("1 e & a 2 e & a 3 e & a 4 e & a", "samba")) == beat * 4


def test_a_rest_is_shown_where_no_hand_says_when_the_foot_comes():
    meter = Meter(2, 4)
    offbeat = typed_ostinato("mine", meter, {HAT: "(1) & (2) &"})
    fill = replace(snare_fill(Bar.from_counts("1 & 2", meter)), ostinato=offbeat)
    assert feet_of(fill) == in_quarters("hidden 1/2", "note 1/2", "rest 1/2", "note 1/2")


def test_a_foot_of_the_fill_and_one_that_keeps_going_share_a_stem():
    loud = stroke_of([Hit(Surface.CRASH), Hit(BASS, "RF")])
    bar = Bar.from_counts("1 2", "2/4")
    along = ostinato_named("hi-hat foot on 2 and 4", bar.meter)
    _, feet = voices(Fill(bar, (Stroke(Surface.SNARE), loud), along))
    assert feet.symbols[-1].stroke.surfaces == (BASS, HAT)
    assert (feet.symbols[-1].index, feet.symbols[-1].under) == (1, True)


def test_where_they_do_not_fit_the_feet_of_the_fill_each_has_a_voice():
    """Triplets of the fill, 16ths of the samba, in one beat."""
    bar = Bar.from_counts("1 trip let 2", "2/4")
    foot = Stroke(BASS, "RF")
    strokes = (Stroke(Surface.SNARE), foot, Stroke(Surface.SNARE), Stroke(Surface.SNARE))
    fill = Fill(bar, strokes, ostinato_named("samba", bar.meter))
    assert [voice.number for voice in voices(fill)] == [1, 2, 3]


@examples(300)
@given(going())
def test_each_voice_fills_the_bar_and_all_feet_are_in_one(fill):
    written = voices(fill)
    for voice in written:
        assert sum(symbol.length for symbol in voice.symbols) == fill.bar.meter.length
    found = Counter(
        (symbol.onset, surface)
        for voice in written
        for symbol in voice.symbols
        if symbol.attack
        for surface in symbol.stroke.surfaces
    )
    struck = [
        (note.onset, surface)
        for note in fill.bar.sounded
        for surface in fill.strokes[note.index].surfaces
    ]
    assert found == Counter([*struck, *((hit.onset, hit.surface) for hit in fill.going_on)])


@given(going())
def test_music21_reads_them_back_with_the_fill(fill):
    score = converter.parseData(musicxml(fill), format="musicxml")
    found = Counter(
        (Fraction(note.getOffsetInHierarchy(score)), head.displayStep, head.displayOctave)
        for note in score.recurse().notes
        if not (note.duration.isGrace or (note.tie and note.tie.type != "start"))
        for head in (note.notes if isinstance(note, PercussionChord) else [note])
    )
    struck = [
        (note.onset, surface)
        for note in fill.bar.sounded
        for surface in fill.strokes[note.index].surfaces
    ]
    placed = [*struck, *((hit.onset, hit.surface) for hit in fill.going_on)]
    rows = ((onset, PLACEMENTS[surface]) for onset, surface in placed)
    assert found == Counter((onset, row.step, row.octave) for onset, row in rows)


@examples(60)
@given(going())
def test_only_what_the_fill_strikes_is_lit(fill):
    root = etree.fromstring(svg(fill, prefix="p", counts=True).encode())
    lit = {g.get("id") for g in root.iter(f"{SVG}g") if g.get("class") == "stroke"}
    both = {f"p-s{i}-feet" for i, s in enumerate(fill.strokes) if s.hand_hits and s.foot_hits}
    assert lit == both | {f"p-s{index}" for index in range(len(fill.strokes))}


def test_the_key_names_the_feet():
    names = [entry.name for entry in legend(over("1 2 3 4", "samba"))]
    assert names == ["Snare", "Bass drum", "Hi-hat foot"]


def test_a_screen_reader_says_them_once():
    assert description(over("1 2 3 4", "samba")) == (
        "1 snare, 2 snare, 3 snare, 4 snare; the feet keep going: samba"
    )


def test_the_player_gets_them_apart_from_the_strokes():
    played = fill_json(over("1 2 3 4", "hi-hat foot on 2 and 4"))
    assert [sound["onset"] for sound in played["fill"]] == [0, 1, 2, 3]
    assert [(sound["onset"], sound["surface"]) for sound in played["feet"]] == [
        (1, "hi-hat foot"),
        (3, "hi-hat foot"),
    ]


def test_only_a_beat_in_which_they_do_not_fit_is_written_apart():
    bar = Bar.from_counts("1 trip let 2", "2/4")
    strokes = (Stroke(Surface.SNARE), Stroke(BASS, "RF"), *[Stroke(Surface.SNARE)] * 2)
    _, feet, apart = voices(Fill(bar, strokes, ostinato_named("samba", bar.meter)))
    beat = [symbol.onset for symbol in feet.symbols if symbol.stroke and symbol.onset >= 1]
    assert beat == [1, Fraction(3, 2), Fraction(7, 4)]
    assert {symbol.onset for symbol in apart.symbols if symbol.stroke} == {
        0,
        Fraction(1, 2),
        Fraction(3, 4),
    }
