"""Finer values, grouped meters and pick-ups in our MusicXML, as the standard and music21 have them.

Sources: the schema of MusicXML 4.0 (W3C, commit 830fb18) and its element pages, for the names of
types, ``time-modification``, ``beats`` of several terms and ``implicit``; counting as published
(see tests/engine/bars/test_count_line.py). music21 10 reads everything back by code of its own.
"""

from fractions import Fraction

import pytest
from hypothesis import given
from lxml import etree
from music21 import converter, stream
from music21.note import Unpitched

from rhythms.engine import Bar, Fill
from rhythms.engine.fills.fill import snare_fill
from rhythms.notation import musicxml
from tests.published.test_musicxml_schema import SCHEMA
from tests.strategies import bars_with_pickup


def file_of(counts: str, meter: str = "4/4") -> etree._Element:
    return etree.fromstring(musicxml(snare_fill(Bar.from_counts(counts, meter))).encode())


def read(fill: Fill) -> list[stream.Measure]:
    """The measures that music21 makes of our file."""
    score = converter.parseData(musicxml(fill), format="musicxml")
    return list(score.parts[0].getElementsByClass(stream.Measure))


def struck(measure: stream.Measure) -> list[Fraction]:
    """Where something is struck, in quarters from where the measure begins."""
    notes = measure.flatten().getElementsByClass(Unpitched)
    return [Fraction(n.offset) for n in notes if n.tie is None or n.tie.type == "start"]


# (count line of one beat, types, actual and normal notes and the type they are counted in)
VALUES = [
    ("1 ta e ta & ta a ta", ["32nd"] * 8, None),
    ("1 & a ta", ["eighth", "16th", "32nd", "32nd"], None),
    ("1 trip let", ["eighth"] * 3, ("3", "2", None)),
    ("1 trip let & trip let", ["16th"] * 6, ("6", "4", None)),
    ("1 ka di mi ti", ["16th"] * 5, ("5", "4", None)),
    ("1 di mi ti", ["eighth", "16th", "16th", "16th"], ("5", "4", "16th")),
]


@pytest.mark.parametrize(("counts", "types", "ratio"), VALUES)
def test_a_value_has_the_type_and_the_ratio_of_the_standard(counts, types, ratio):
    notes = list(file_of(counts, "1/4").iter("note"))
    assert [note.findtext("type") for note in notes] == types
    for note in notes:
        found = note.find("time-modification")
        if ratio is None:
            assert found is None
            continue
        actual, normal, unit = ratio
        assert (found.findtext("actual-notes"), found.findtext("normal-notes")) == (actual, normal)
        counted_in = found.findtext("normal-type") or note.findtext("type")
        assert counted_in == (unit or types[0])


@pytest.mark.parametrize(("counts", "types", "ratio"), VALUES)
def test_durations_are_whole_divisions_that_fill_the_beat(counts, types, ratio):
    root = file_of(counts, "1/4")
    durations = [int(note.findtext("duration")) for note in root.iter("note")]
    assert sum(durations) == int(root.findtext(".//divisions"))


@pytest.mark.parametrize(
    ("counts", "meter", "marks"),
    [
        ("1 ka di mi ti 2", "2/4", [(0, 4)]),
        ("1 e & trip let 2", "2/4", [(2, 4)]),
        ("1 trip let & a 2", "2/4", [(0, 2)]),
        ("1 trip let 2 trip let 3", "3/8", [(0, 2), (3, 5)]),
    ],
)
def test_a_tuplet_is_marked_from_its_first_note_to_its_last(counts, meter, marks):
    notes = list(file_of(counts, meter).iter("note"))
    found = [
        [
            place
            for place, note in enumerate(notes)
            if note.find(f".//tuplet[@type='{kind}']") is not None
        ]
        for kind in ("start", "stop")
    ]
    assert list(zip(*found, strict=True)) == marks


@pytest.mark.parametrize(
    "line",
    ["1 ta e ta & ta a ta 2 3 4", "1 ka di mi ti 2 ti 3 4", "1 e & trip let 2 trip let & a ta 3 4"],
)
def test_music21_reads_finer_strokes_where_they_are(line):
    bar = Bar.from_counts(line)
    (measure,) = read(snare_fill(bar))
    assert struck(measure) == [note.onset for note in bar.sounded]


@pytest.mark.parametrize(
    ("meter", "beats", "unit", "terms"),
    [
        ("7/8", "7", "8", [7]),
        ("7/8 (3+2+2)", "3+2+2", "8", [3, 2, 2]),
        ("5/4 (3+2)", "3+2", "4", [3, 2]),
        ("12/8", "12", "8", [12]),
    ],
)
def test_groups_stand_in_the_time_signature(meter, beats, unit, terms):
    count = Bar.from_counts(" ".join(str(n + 1) for n in range(sum(terms))), meter)
    root = etree.fromstring(musicxml(snare_fill(count)).encode())
    assert (root.findtext(".//beats"), root.findtext(".//beat-type")) == (beats, unit)
    (measure,) = read(snare_fill(count))
    assert [term.numerator for term in measure.timeSignature.displaySequence] == terms
    assert measure.barDuration.quarterLength == count.meter.length


def test_beams_follow_the_groups():
    beams = [
        [beam.text for beam in note.iter("beam")]
        for note in file_of("1 2 3 4 5 6 7", "7/8 (3+2+2)").iter("note")
    ]
    assert beams == [["begin"], ["continue"], ["end"], *[["begin"], ["end"]] * 2]


def test_a_pickup_is_a_measure_that_is_not_counted():
    first, second = file_of("(4) & | 1 2 3 4").iter("measure")
    assert dict(first.attrib) == {"number": "0", "implicit": "yes"}
    assert dict(second.attrib) == {"number": "1"}
    assert len(first.findall("note")) == 1


@given(bars_with_pickup())
def test_music21_reads_a_pickup_before_its_bar(bar):
    fill = snare_fill(bar)
    SCHEMA.assertValid(etree.fromstring(musicxml(fill).encode()))
    before, behind = read(fill)
    assert behind.duration.quarterLength == bar.meter.bar_length
    opens = bar.meter.bar_length - Fraction(before.duration.quarterLength)
    assert opens >= bar.meter.opens_at
    onsets = [opens + onset for onset in struck(before)]
    onsets += [bar.meter.bar_length + onset for onset in struck(behind)]
    assert onsets == [note.onset for note in bar.sounded]
