"""What this tool writes, it reads back."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given

from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.engine.bars.writing import Event
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.groove_library import grooves_for
from rhythms.engine.playback.timeline import GRACES, Block
from rhythms.notation import block_midi, midi, musicxml, musicxml_of_all, mxl
from rhythms.notation.reading.file_reader import read_here
from rhythms.notation.reading.result import Reading
from tests.strategies import bars_with_pickup, fills, fills_of_one_bar, sounding_bars
from tests.thoroughness import examples


def only_bar(data: bytes) -> Bar:
    (measure,) = read_here(data).measures
    assert measure.words == ()
    return measure.bar


def as_written(fill: Fill) -> Bar:
    """The fill's bar with accents where its strokes have them: that is what the files hold."""
    strokes = iter(fill.strokes)
    return Bar.from_events(
        fill.bar.meter,
        [
            event if event.rest else Event(event.onset, False, accented(next(strokes)))
            for event in fill.bar.events()
        ],
    )


@given(bars_with_pickup().filter(lambda bar: bar.starts_at < bar.meter.bar_length))
def test_a_pickup_comes_back_before_its_bar(bar):
    fill = snare_fill(bar)
    assert only_bar(musicxml(fill).encode()) == bar
    measures = read_here(midi(fill)).measures
    struck_behind = any(note.onset >= bar.meter.bar_length for note in bar.sounded)
    if struck_behind:
        assert [measure.bar for measure in measures] == [bar]


@examples(10)
@given(bars_with_pickup().filter(lambda bar: bar.starts_at < bar.meter.bar_length))
def test_each_pickup_of_several_comes_back_before_its_bar(bar):
    fills = {"one": snare_fill(bar), "two": snare_fill(bar)}
    measures = read_here(musicxml_of_all(fills, "Line 4").encode()).measures
    assert [measure.bar for measure in measures] == [bar, bar]


def accented(stroke: Stroke) -> bool:
    return any(hit.dynamic == "accent" for hit in stroke.hits)


def struck(fill: Fill) -> bool:
    return bool(fill.strokes)


@given(fills().filter(struck))
def test_musicxml_comes_back_as_it_was(fill):
    assert only_bar(musicxml(fill).encode()) == as_written(fill)


@examples(20)
@given(fills().filter(struck))
def test_compressed_musicxml_comes_back_as_it_was(fill):
    assert only_bar(mxl(musicxml(fill))) == as_written(fill)


@examples(20)
@given(fills_of_one_bar().filter(lambda fills: all(map(struck, fills.values()))))
def test_each_fill_of_several_comes_back_as_it_was(fills):
    measures = read_here(musicxml_of_all(fills, "Line 4").encode()).measures
    assert [measure.bar for measure in measures] == [*map(as_written, fills.values())]
    assert all(measure.words == () for measure in measures)


@given(sounding_bars())
def test_midi_comes_back_as_it_was(bar):
    assert only_bar(midi(snare_fill(bar))) == bar


@given(fills().filter(lambda fill: struck(fill) and told_by_midi(fill)))
def test_midi_with_surfaces_and_grace_notes_comes_back_as_it_was(fill):
    assert only_bar(midi(fill)) == as_written(fill)


def told_by_midi(fill: Fill) -> bool:
    """Without diddles, and without grace notes nearer than a 16th to the stroke before them, where
    they look like strokes or bounces."""
    onsets = [note.onset for note in fill.bar.sounded]
    before = [None, *onsets]
    if onsets[0] == 0 and len(onsets) > 1:
        before[0] = -onsets[1]  # without room they are late, and the next stroke is what is near
    graces = [stroke.ornament in GRACES for stroke in fill.strokes]
    pairs = zip(onsets, before, graces, strict=False)
    room = [at - last for at, last, has in pairs if has and last is not None]
    return min(room, default=1) >= Fraction(1, 4) and not any(
        stroke.ornament == "diddle" for stroke in fill.strokes
    )


@pytest.mark.parametrize("tempo", [30, 60, 100, 180, 240])
@examples(20)
@given(fill=fills("4/4").filter(lambda fill: struck(fill) and told_by_midi(fill)))
def test_midi_comes_back_at_every_tempo(tempo, fill):
    assert only_bar(midi(fill, tempo)) == as_written(fill)


def test_a_diddle_comes_back_from_midi_as_the_two_strokes_that_sound():
    bar = Bar.from_counts("1 2 3 4")
    strokes = [Stroke(Surface.SNARE) for _ in bar.sounded]
    strokes[1] = Stroke(Surface.SNARE, ornament="diddle")
    assert only_bar(midi(Fill(bar, tuple(strokes)))).counts() == "1 2 & 3 4"


def test_a_diddle_too_fast_to_count_is_one_note_with_a_remark():
    bar = Bar.from_counts("1 ta e & a 2 3 4")
    strokes = [Stroke(Surface.SNARE) for _ in bar.sounded]
    strokes[1] = Stroke(Surface.SNARE, ornament="diddle")
    (measure,) = read_here(midi(Fill(bar, tuple(strokes)), 60)).measures
    assert measure.bar == bar
    assert measure.words == ("Strokes too close to count were taken as one: 1 ta.",)


def test_a_multiple_bounce_roll_comes_back_from_midi_as_its_strokes():
    bar = Bar.from_counts("1 & 2 e & a 3> 4")
    strokes = tuple(
        Stroke(Surface.SNARE, dynamic="accent" if note.accent else "normal", ornament="buzz")
        for note in bar.sounded
    )
    assert only_bar(midi(Fill(bar, strokes))) == bar


@pytest.mark.parametrize("meter", ["3/4", "4/4", "5/4", "6/8"])
def test_a_block_comes_back_with_the_fill_as_its_last_full_bar(meter):
    bar = {
        "3/4": "1 e & a 2 & (3)",
        "4/4": "1 & 2 e & a 3 - -",
        "5/4": "1 2 3 4 & 5",
        "6/8": "1 2 & 3 4 - (6)",
    }[meter]
    fill = snare_fill(Bar.from_counts(bar, meter))
    measures = read_here(block_midi(Block(fill, grooves_for(fill.bar.meter)[0], 4), 90)).measures
    assert [measure.words for measure in measures] == [()] * 5
    assert measures[3].bar == fill.bar
    assert measures[4].bar.sounded[0].onset == 0


@given(sounding_bars())
def test_a_reading_survives_its_json(bar):
    reading = read_here(midi(snare_fill(bar)))
    assert Reading.from_json(reading.to_json()) == reading


@given(fills().filter(struck))
def test_the_notes_alone_say_when_everything_is_struck(fill):
    """Without the count line that comes along, only the division of silence may differ."""
    text = musicxml(fill)
    start, end = text.index("<miscellaneous>"), text.index("</miscellaneous>")
    without = text[:start] + text[end + len("</miscellaneous>") :]
    bar = only_bar(without.encode())
    expected = as_written(fill)
    assert [(n.onset, n.length, n.value, n.accent) for n in bar.sounded] == [
        (n.onset, n.length, n.value, n.accent) for n in expected.sounded
    ]


def test_a_count_line_that_does_not_fit_the_notes_is_not_believed():
    text = musicxml(snare_fill(Bar.from_counts("1 2 3 4")))
    changed = text.replace("4/4 1 2 3 4", "4/4 1 &amp; 2 3 4")
    assert changed != text
    assert only_bar(changed.encode()).counts() == "1 2 3 4"
