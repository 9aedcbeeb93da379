"""Files of fills of two bars, by readers that are not ours: the W3C's schema, music21, mido."""

from fractions import Fraction
from io import BytesIO

import mido
import pytest
from lxml import etree
from music21 import converter

from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.engine.playback.groove_library import groove_named
from rhythms.engine.playback.timeline import Block
from rhythms.notation import musicxml, musicxml_of_all
from rhythms.notation.export.midi import TICKS_PER_QUARTER, block_midi, midi
from tests.published.test_musicxml_schema import SCHEMA

#: Held over the bar line, with triplets, rests and feet.
COUNTS = "1 & 2 e & a 3 & 4 & | - & 2 trip let (3) & 4"


@pytest.fixture
def fill() -> Fill:
    bar = Bar.from_counts(COUNTS)
    surfaces = (Surface.SNARE, Surface.HIGH_TOM, Surface.BASS_DRUM)
    return Fill(bar, tuple(Stroke(surfaces[note.index % 3]) for note in bar.sounded))


@pytest.mark.parametrize("of", [1, 3])
def test_musicxml_of_it_is_valid_and_has_a_measure_for_each_bar(fill, of):
    text = musicxml(fill) if of == 1 else musicxml_of_all(dict.fromkeys("abc", fill), "Three")
    document = etree.fromstring(text.encode())
    SCHEMA.assertValid(document)
    assert len(document.findall(".//measure")) == 2 * of
    ids = [note.get("id") for note in document.iter("note") if note.get("id")]
    assert len(set(ids)) == len(ids) == of * len(fill.strokes)


def test_music21_finds_each_stroke_where_it_is_struck(fill):
    score = converter.parseData(musicxml(fill), format="musicxml")
    measures = list(score.parts[0].getElementsByClass("Measure"))
    assert [measure.barDuration.quarterLength for measure in measures] == [4, 4]
    struck = sorted(
        Fraction(measure.offset)
        + Fraction(note.getOffsetInHierarchy(measure)).limit_denominator(48)
        for measure in measures
        for note in measure.recurse().notes
        if note.tie is None or note.tie.type == "start"
    )
    assert struck == [note.onset for note in fill.bar.sounded]


def test_mido_hears_both_bars_and_the_groove_before_them(fill):
    def heard(data: bytes) -> list[int]:
        track, tick, found = mido.MidiFile(file=BytesIO(data)).tracks[0], 0, []
        for message in track:
            tick += message.time
            found += [tick] if message.type == "note_on" else []
        return found

    alone = [round(note.onset * TICKS_PER_QUARTER) for note in fill.bar.sounded]
    assert heard(midi(fill)) == alone
    groove = groove_named("rock", fill.bar.meter.one_bar)
    in_block = heard(block_midi(Block(fill, groove, 4)))
    start = 8 * TICKS_PER_QUARTER
    assert [tick - start for tick in in_block if start <= tick < 2 * start] == alone
    assert len([tick for tick in in_block if tick < start]) == 2 * len(groove.hits)
