"""Swing in files for other programs: where MIDI sounds, what MusicXML says, and back again."""

import io
from itertools import pairwise

import mido
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from lxml import etree

from rhythms.engine import Bar, Meter
from rhythms.engine.bars.feel import LEAST, MOST, PAIRS, SIXTEENTHS, Feel
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.groove_library import groove_named
from rhythms.engine.playback.timeline import GRACE, Block
from rhythms.notation import block_midi, midi, musicxml, musicxml_of_all
from rhythms.notation.reading.file_reader import read_here
from tests.published.test_musicxml_schema import SCHEMA
from tests.strategies import fills, fills_of_one_bar, sounding_bars

TRIPLET = Feel(67)
FEELS = st.builds(Feel, st.integers(LEAST, MOST), st.sampled_from(sorted(PAIRS)))
SWUNG = FEELS.filter(lambda feel: not feel.is_straight)


def ticks(data: bytes) -> list[int]:
    """When something is struck."""
    at, found = 0, []
    for message in mido.MidiFile(file=io.BytesIO(data)).tracks[0]:
        at += message.time
        if message.type == "note_on":
            found.append(at)
    return found


def on_snare(counts: str, meter: str = "4/4"):
    return snare_fill(Bar.from_counts(counts, meter))


# --- MIDI --------------------------------------------------------------------------------


def test_two_eighths_in_triplet_swing_are_on_the_ticks_of_the_triplet():
    assert ticks(midi(on_snare("1 & 2 & 3 4"), feel=TRIPLET))[:4] == [0, 320, 480, 800]
    assert ticks(midi(on_snare("1 (trip) let 2 (trip) let 3 4")))[:4] == [0, 320, 480, 800]


def test_two_eighths_in_hard_swing_are_on_the_ticks_of_a_dotted_eighth_and_a_16th():
    assert ticks(midi(on_snare("1 & 2 3 4"), feel=Feel(75)))[:2] == [0, 360]
    assert ticks(midi(on_snare("1 a 2 3 4")))[:2] == [0, 360]


def test_groove_and_fill_of_a_block_swing():
    block = Block(on_snare("1 & 2 & 3 & 4 &"), groove_named("rock", Meter(4, 4)), feel=TRIPLET)
    assert {tick % 480 for tick in ticks(block_midi(block))} == {0, 320}


@given(fills())
def test_a_straight_fill_is_the_file_it_always_was(fill):
    assert midi(fill, feel=Feel(50, SIXTEENTHS)) == midi(fill)
    assert musicxml(fill, Feel(50, SIXTEENTHS)) == musicxml(fill)


def test_eighths_that_do_not_swing_leave_a_file_as_it_was():
    fill = on_snare("1 2 3 4 5 6", "6/8")
    assert midi(fill, feel=TRIPLET) == midi(fill)
    assert musicxml(fill, TRIPLET) == musicxml(fill)


@given(sounding_bars(), FEELS)
def test_a_swung_midi_file_comes_back_as_it_was_written(bar, feel):
    """But for 32nds that swing puts as near to each other as a grace note is to its stroke."""
    warp = feel.warp_of(bar)
    sounding = [warp.sounding(note.onset) for note in bar.sounded]
    assume(all(after - at > 2 * GRACE for at, after in pairwise(sounding)))
    reading = read_here(midi(snare_fill(bar), feel=feel))
    (measure,) = reading.measures
    assert (measure.bar, measure.words, reading.words) == (bar, (), ())


def test_the_fill_of_a_swung_block_comes_back_as_it_was_written():
    fill = on_snare("1 & 2 e & a 3 trip let 4 &")
    block = Block(fill, groove_named("rock", Meter(4, 4)), feel=TRIPLET)
    assert read_here(block_midi(block)).measures[3].bar == fill.bar


# --- MusicXML ----------------------------------------------------------------------------


@given(fills(), FEELS)
def test_every_file_with_a_feel_is_valid(fill, feel):
    SCHEMA.assertValid(etree.fromstring(musicxml(fill, feel).encode()))


@given(fills_of_one_bar(), FEELS)
def test_every_file_of_several_fills_with_a_feel_is_valid(fills, feel):
    SCHEMA.assertValid(etree.fromstring(musicxml_of_all(fills, "Line 4", feel).encode()))


@given(SWUNG)
def test_a_file_says_the_ratio_of_its_feel(feel):
    swing = etree.fromstring(musicxml(on_snare("1 & 2 3 4"), feel).encode()).find(".//swing")
    first, second = int(swing.findtext("first")), int(swing.findtext("second"))
    assert feel.share * (first + second) == first
    assert swing.findtext("swing-type") + "s" == feel.unit


def test_triplet_swing_is_two_to_one():
    """The example in MusicXML 4.0's reference for its swing element."""
    swing = etree.fromstring(musicxml(on_snare("1 & 2 3 4"), TRIPLET).encode()).find(".//swing")
    assert [element.text for element in swing] == ["2", "1", "eighth"]


@given(fills_of_one_bar().filter(lambda fills: all(f.strokes for f in fills.values())), FEELS)
def test_a_file_has_its_sign_once_whatever_it_holds(fills, feel):
    heard = feel.in_meter(next(iter(fills.values())).bar.meter)
    written = musicxml_of_all(fills, "Line 4", feel)
    assert written.count("<swing>") == (not heard.is_straight)


@given(sounding_bars(), SWUNG)
def test_swung_musicxml_comes_back_straight_and_says_what_it_asks_for(bar, feel):
    reading = read_here(musicxml(snare_fill(bar), feel).encode())
    (measure,) = reading.measures
    assert measure.bar == bar
    heard = feel.in_meter(bar.meter)
    asked = f"The file asks for {heard.in_full}. Choose that where you assign the bar."
    assert reading.words == (() if heard.is_straight else (asked,))


@pytest.mark.parametrize(
    ("first", "second", "said"),
    [
        ("3", "0", "The file asks for a swing of 3 to 0, which is not played here."),
        ("0", "0", "The file asks for a swing of 0 to 0, which is not played here."),
        ("1", "2", "The file asks for a swing of 1 to 2, which is not played here."),
    ],
)
def test_a_swing_that_is_not_played_here_is_said(first, second, said):
    written = musicxml(on_snare("1 & 2 3 4"), TRIPLET)
    odd = written.replace("<first>2<", f"<first>{first}<").replace("d>1</s", f"d>{second}</s")
    assert read_here(odd.encode()).words == (said,)


@pytest.mark.parametrize("first", ["1", "", "two", "9" * 12])
def test_a_swing_that_is_none_is_not_spoken_of(first):
    written = musicxml(on_snare("1 & 2 3 4"), TRIPLET)
    assert read_here(written.replace("<first>2<", f"<first>{first}<").encode()).words == ()
