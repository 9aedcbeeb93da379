"""What this tool writes is read back with all that is struck: drums, hands, touch, ornaments."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, Meter, Stroke, Surface
from rhythms.engine.bars.writing import Event
from rhythms.engine.fills.fill import Hit, snare_fill, stroke_of
from rhythms.engine.playback.groove_library import grooves_for
from rhythms.engine.playback.timeline import Block
from rhythms.notation import block_midi, midi, musicxml, musicxml_of_all, mxl
from rhythms.notation.reading.file_reader import read_here
from rhythms.notation.reading.result import Reading, ReadMeasure
from tests.notation.reading.test_round_trip import as_written, struck, told_by_midi
from tests.strategies import bars, fills, fills_of_one_bar, strokes_together
from tests.thoroughness import examples

TOGETHER = fills(together=True).filter(struck)
#: MIDI holds no hands, both strokes of a diddle, and one key for hi-hats that are not closed.
OF_MIDI = TOGETHER.filter(
    lambda fill: told_by_midi(fill) and Surface.HALF_OPEN_HI_HAT not in fill.surfaces
)


def only_fill(data: bytes) -> Fill:
    (measure,) = read_here(data).measures
    assert measure.words == ()
    return measure.fill


def on_its_bar(fill: Fill) -> Fill:
    return Fill(as_written(fill), fill.strokes)


@examples(300)
@given(TOGETHER)
def test_musicxml_comes_back_with_every_stroke(fill):
    assert only_fill(musicxml(fill).encode()) == on_its_bar(fill)


def test_a_tied_note_over_a_foot_that_lasts_longer_is_one_stroke():
    bar = Bar.from_events(Meter(2, 4), [Event(Fraction(n, 6)) for n in (0, 6, 11)])
    snare = Stroke(Surface.SNARE)
    under = stroke_of([Hit(Surface.FLOOR_TOM), Hit(Surface.BASS_DRUM, "RF")])
    fill = Fill(bar, (snare, under, snare))
    assert only_fill(musicxml(fill).encode()) == on_its_bar(fill)


@examples(20)
@given(TOGETHER)
def test_compressed_musicxml_comes_back_with_every_stroke(fill):
    assert only_fill(mxl(musicxml(fill))) == on_its_bar(fill)


@examples(20)
@given(fills_of_one_bar().filter(lambda fills: all(map(struck, fills.values()))))
def test_each_fill_of_several_comes_back_with_its_strokes(fills):
    measures = read_here(musicxml_of_all(fills, "Line 4").encode()).measures
    assert [measure.fill for measure in measures] == [*map(on_its_bar, fills.values())]


@examples(300)
@given(OF_MIDI)
def test_midi_comes_back_with_every_stroke_but_its_hand(fill):
    assert only_fill(midi(fill)) == on_its_bar(fill).without_hands()


@pytest.mark.parametrize("tempo", [30, 60, 180, 240])
@examples(20)
@given(fill=OF_MIDI)
def test_midi_comes_back_with_every_stroke_at_every_tempo(tempo, fill):
    assert only_fill(midi(fill, tempo)) == on_its_bar(fill).without_hands()


@given(TOGETHER)
def test_a_reading_with_fills_survives_its_json(fill):
    reading = read_here(musicxml(fill).encode())
    assert Reading.from_json(reading.to_json()) == reading


def test_a_reading_of_earlier_has_no_fill():
    stored = {"part": 0, "number": "1", "bar": {"meter": "4/4", "counts": "1 2 3 4"}, "words": []}
    assert ReadMeasure.from_json(stored).fill is None


def test_what_is_struck_with_a_late_first_stroke_is_struck_with_it():
    """Grace notes on the bar line take its place, and a bass drum goes along."""
    first = stroke_of([Hit(Surface.SNARE), Hit(Surface.BASS_DRUM, "RF")], "drag")
    fill = Fill(Bar.from_counts("1 2 3 4"), (first, *(Stroke(Surface.SNARE),) * 3))
    assert only_fill(midi(fill)).strokes == fill.strokes


def test_a_soft_drag_after_a_late_first_stroke_is_no_buzz():
    snare = [Stroke(Surface.SNARE, None, dynamic, "drag") for dynamic in ("normal", "ghost")]
    fill = Fill(Bar.from_counts("1 e 2 3 4"), (*snare, *(Stroke(Surface.SNARE),) * 3))
    assert only_fill(midi(fill)).strokes == fill.strokes


def test_only_hands_are_in_a_fill_of_the_hands():
    stroke = stroke_of([Hit(Surface.CRASH), Hit(Surface.BASS_DRUM, "RF")])
    fill = Fill(Bar.from_counts("1 2 3 4"), (stroke,) * 4)
    for data in (midi(fill), musicxml(fill).encode()):
        (measure,) = read_here(data, hands_only=True).measures
        assert measure.fill.surfaces == {Surface.CRASH}


def test_a_bar_on_the_snare_is_a_fill_on_the_snare():
    fill = snare_fill(Bar.from_counts("1 & 2 e & a 3 & 4"))
    assert only_fill(midi(fill)) == fill


# --- fills of two bars -----------------------------------------------------------------


@st.composite
def of_two_bars(draw: st.DrawFn) -> Fill:
    first, second = draw(bars("4/4", coarse=True)), draw(bars("4/4", coarse=True))
    bar = Bar.from_counts(f"{first.counts()} | {second.counts()}")
    return Fill(bar, tuple(draw(strokes_together()) for _ in bar.sounded))


@given(of_two_bars().filter(struck))
def test_a_fill_of_two_bars_comes_back_from_musicxml_as_one(fill):
    assert only_fill(musicxml(fill).encode()) == on_its_bar(fill)


@given(
    of_two_bars().filter(
        lambda fill: (
            struck(fill) and told_by_midi(fill) and Surface.HALF_OPEN_HI_HAT not in fill.surfaces
        )
    )
)
def test_a_fill_of_two_bars_comes_back_from_midi_as_one(fill):
    assert only_fill(midi(fill)) == on_its_bar(fill).without_hands()


@pytest.mark.parametrize(
    "line",
    ["(1) (2) (3) (4) | 1 2 3 4", "1 2 3 4 | (1) - - -", "1 2 3 4 & | - 2 3 4"],
)
def test_silence_and_ties_at_the_bar_line_come_back(line):
    fill = snare_fill(Bar.from_counts(line))
    assert only_fill(midi(fill)) == only_fill(musicxml(fill).encode()) == fill


def test_several_fills_of_two_bars_come_back_each_as_one():
    bar = Bar.from_counts("1 2 & 3 4 | 1 2 3 & 4")
    fills = {
        name: Fill(bar, (Stroke(surface),) * len(bar.sounded))
        for name, surface in (("one", Surface.SNARE), ("two", Surface.FLOOR_TOM))
    }
    measures = read_here(musicxml_of_all(fills, "Line 4").encode()).measures
    assert [measure.fill for measure in measures] == [*fills.values()]


def test_the_fill_of_a_block_is_two_bars_after_its_groove():
    fill = snare_fill(Bar.from_counts("1 2 & 3 4 | 1 2 3 & 4"))
    measures = read_here(block_midi(Block(fill, grooves_for(Meter(4, 4))[0], 8), 90)).measures
    assert [measure.number for measure in measures] == ["1", "2", "3", "4", "5", "6", "7", "9"]
    assert measures[6].bar == fill.bar


def test_two_measures_of_which_nothing_is_told_are_two_bars():
    text = musicxml(snare_fill(Bar.from_counts("1 2 3 4 | 1 2 3 4")))
    start, end = text.index("<miscellaneous>"), text.index("</miscellaneous>")
    without = text[:start] + text[end + len("</miscellaneous>") :]
    assert [m.bar.counts() for m in read_here(without.encode()).measures] == ["1 2 3 4"] * 2
