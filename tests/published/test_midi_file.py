"""MIDI bytes against the Standard MIDI File Format Specification 1.1 and a file of known bytes."""

import io
from hashlib import sha256

import mido
import pytest

from rhythms.engine import Bar
from rhythms.engine.fills.fill import snare_fill
from rhythms.notation import midi
from rhythms.notation.export import smf

#: Sixteen 16ths on the snare at 120: format 0, 480 ticks a quarter, key 38, 169 bytes; a
#: general MIDI library reads it as 2.000 s with 16 note-ons.
SIXTEENTHS = bytes.fromhex(
    "4d546864 00000006 0000 0001 01e0"
    "4d54726b 00000093"
    "00 ff5103 07a120"
    "00 ff5804 04021808"
    "00 992664 3c 892640" + "3c 992664 3c 892640" * 15 + "3c ff2f00"
)
SHA256 = "9caa0ce5859b4918c665990e68065a18dab39add3ec6a0b71d37022f6bc71f87"

#: The specification's examples of variable-length quantities.
QUANTITIES = {
    0x00000000: "00",
    0x00000040: "40",
    0x0000007F: "7f",
    0x00000080: "81 00",
    0x00002000: "c0 00",
    0x00003FFF: "ff 7f",
    0x00004000: "81 80 00",
    0x00100000: "c0 80 00",
    0x001FFFFF: "ff ff 7f",
    0x00200000: "81 80 80 00",
    0x08000000: "c0 80 80 00",
    0x0FFFFFFF: "ff ff ff 7f",
}


def test_the_file_of_known_bytes_is_the_one_meant():
    assert len(SIXTEENTHS) == 169
    assert sha256(SIXTEENTHS).hexdigest() == SHA256


def test_sixteen_16ths_give_the_known_bytes():
    bar = Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a")
    assert midi(snare_fill(bar), tempo=120) == SIXTEENTHS


def test_a_general_midi_library_reads_two_seconds_and_sixteen_strokes():
    file = mido.MidiFile(file=io.BytesIO(SIXTEENTHS))
    assert (file.type, file.ticks_per_beat, file.length) == (0, 480, 2.0)
    assert sum(message.type == "note_on" for message in file.tracks[0]) == 16


@pytest.mark.parametrize("number", QUANTITIES)
def test_the_specifications_quantity_is_written_so(number):
    assert smf.vlq(number) == bytes.fromhex(QUANTITIES[number])


@pytest.mark.parametrize("number", [-1, 0x10000000])
def test_a_quantity_out_of_range_is_refused(number):
    with pytest.raises(ValueError, match="variable-length"):
        smf.vlq(number)


@pytest.mark.parametrize(
    ("meter", "content"),
    [
        ("4/4", "04 02 18 08"),
        ("3/4", "03 02 18 08"),
        ("6/8", "06 03 24 08"),
        ("7/8", "07 03 0c 08"),
    ],
)
def test_a_time_signature_has_a_power_of_two_and_the_clocks_of_a_click(meter, content):
    """6/8 is the specification's own example: 6, 3, 36 clocks for a dotted quarter, 8."""
    counts = " ".join(str(number) for number in range(1, int(meter[0]) + 1))
    written = midi(snare_fill(Bar.from_counts(counts, meter)))
    assert bytes.fromhex("ff 58 04" + content) in written


@pytest.mark.parametrize("tempo", [-10, 0, 3])
def test_a_tempo_the_format_cannot_hold_is_refused(tempo):
    with pytest.raises(ValueError, match="tempo"):
        midi(snare_fill(Bar.from_counts("1 2 3 4")), tempo)
