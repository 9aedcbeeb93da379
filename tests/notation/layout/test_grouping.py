"""Which notes share a beam or a tuplet, in bars that a reader would know and in any bar."""

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given

from rhythms.engine import Bar, Fill, Meter, Note, Stroke, Surface
from rhythms.engine.bars.values import PLAIN, tuplet_of
from rhythms.engine.bars.writing import Event
from rhythms.engine.fills.fill import snare_fill
from rhythms.notation.layout.parts import Part, measures
from rhythms.notation.layout.voices import voices
from tests.strategies import fills


def parts(fill: Fill) -> tuple[Part, ...]:
    """The voices of a fill of one bar."""
    (only,) = measures(fill)
    return only


def hands_of(counts: str, meter: str = "4/4") -> Part:
    (part,) = parts(snare_fill(Bar.from_counts(counts, meter)))
    return part


def beamed(counts: str, meter: str = "4/4") -> str:
    """One character a symbol: ``-`` goes on a beam, ``|`` starts one, ``.`` has none."""
    part = hands_of(counts, meter)
    drawn = ["."] * len(part.symbols)
    for span in part.beams:
        drawn[span.start : span.stop] = ["|"] + ["-"] * (span.stop - span.start - 1)
    return "".join(drawn)


def ratios(counts: str) -> list[tuple[int, int, int]]:
    """(symbols, number, normal) of each tuplet."""
    return [(t.span.stop - t.span.start, t.number, t.normal) for t in hands_of(counts).tuplets]


@pytest.mark.parametrize(
    ("counts", "meter", "drawn"),
    [
        ("1 e & a 2 e & a 3 & 4", "4/4", "|---|---|-."),
        ("1 & 2 & 3 & 4 &", "4/4", "|-|-|-|-"),
        ("1 2 3 4 5 6", "6/8", "|--|--"),
        ("1 & 2 & 3 & 4 5 6", "6/8", "|-----|--"),
        ("1 2 3 4 5 6 7", "7/8", "|-|-|--"),
        ("1 2 3 4 5 6 7 8 9 10 11 12", "12/8", "|--" * 4),
        ("1 (e) & a 2 3 4", "4/4", "|---..."),
        ("(1) e & a 2 3 4", "4/4", ".|--..."),
        ("1 e & (a) 2 3 4", "4/4", "|--...."),
        ("1 (&) 2 3 4", "4/4", "....."),
        ("1 2 & -3 & 4", "4/4", ".|-|-."),
        ("1 trip let 2 (trip) let 3 4", "4/4", "|--|--.."),
    ],
)
def test_beams_show_the_beats(counts, meter, drawn):
    assert beamed(counts, meter) == drawn


@pytest.mark.parametrize(
    ("counts", "expected"),
    [
        ("1 trip let 2 3 4", [(3, 3, 2)]),
        ("1 (trip) let 2 3 4", [(3, 3, 2)]),
        ("1 let 2 3 4", [(2, 3, 2)]),
        ("1 trip let & trip let 2 3 4", [(6, 6, 4)]),
        ("1 trip let -& 2 3 4", [(3, 6, 4)]),
        ("1 trip let & trip 2 3 4", [(5, 6, 4)]),
        ("1 -trip let -& trip let 2 3 4", [(4, 6, 4)]),
        ("1 -trip -let & trip let 2 3 4", [(3, 3, 2)]),
        ("1 trip let 2 trip let 3 4", [(3, 3, 2), (3, 3, 2)]),
    ],
)
def test_tuplets_are_counted_as_drummers_name_them(counts, expected):
    assert ratios(counts) == expected


def test_a_rest_at_the_edge_of_a_tuplet_does_not_tear_a_beam_across_it():
    """Half a beat of 16th triplets that opens with a rest, then two 16ths."""
    starts = [Fraction(*place) for place in ((1, 6), (1, 3), (1, 2), (3, 4), (1, 1))]
    bar = Bar.from_events(
        Meter(2, 4), [Event(Fraction(0), rest=True)] + [Event(start) for start in starts]
    )
    (part,) = parts(snare_fill(bar))
    assert [group.span for group in part.tuplets] == [(0, 3)]
    assert part.beams == ((1, 3), (3, 5))


@given(fills())
def test_a_beam_stays_in_its_beat_and_opens_and_closes_with_a_note(fill):
    for part in parts(fill):
        for span in part.beams:
            first, last = part.symbols[span.start], part.symbols[span.stop - 1]
            assert span.stop - span.start > 1
            assert first.stroke is not None
            assert last.stroke is not None
            assert last.end <= fill.bar.meter.beat_at(first.onset).end


@given(fills())
def test_beams_and_tuplets_nest(fill):
    for part in parts(fill):
        for span, group in product(part.beams, (group.span for group in part.tuplets)):
            apart = span.stop <= group.start or group.stop <= span.start
            assert apart or span.holds(group) or group.holds(span)


@given(fills())
def test_every_symbol_of_a_tuplet_stands_in_one_of_its_kind_that_fills_a_plain_value(fill):
    for part in parts(fill):
        for index, symbol in enumerate(part.symbols):
            holding = [g for g in part.tuplets if g.span.start <= index < g.span.stop]
            kind = tuplet_of(symbol.value)
            assert [Fraction(g.number, g.normal) for g in holding] == (
                [Fraction(*kind)] if kind else []
            )
        assert all(group.end - group.onset in PLAIN.values() for group in part.tuplets)


@given(fills())
def test_the_voices_hold_every_note_once_and_each_fills_the_bar(fill):
    parts = voices(fill)
    for voice in parts:
        ends = [Fraction(0)] + [symbol.end for symbol in voice.symbols]
        assert [symbol.onset for symbol in voice.symbols] == ends[:-1]
        assert ends[-1] == fill.bar.meter.length
    struck = sorted(
        (symbol.onset, symbol.length, symbol.value, symbol.index)
        for voice in parts
        for symbol in voice.symbols
        if symbol.stroke is not None
    )
    notes = [note for note in fill.bar.notes if not note.rest]
    assert [row[:3] for row in struck] == [(n.onset, n.length, n.value) for n in notes]
    assert {row[3] for row in struck} == set(range(len(fill.strokes)))


@given(fills())
def test_only_rests_of_the_feet_are_hidden_and_none_in_a_tuplet_of_their_own(fill):
    hands, *_ = written = parts(fill)
    for part in written:
        hidden = [index for index, symbol in enumerate(part.symbols) if symbol.hidden]
        assert part.number == 2 or not hidden
        for group in part.tuplets:
            if part is not hands and any(above.covers(group) for above in hands.tuplets):
                continue
            assert not any(group.span.start <= index < group.span.stop for index in hidden)


@pytest.mark.parametrize(
    ("counts", "meter", "rests"),
    [
        ("1 (&) - & 3 4", "4/4", ["eighth", "eighth"]),
        ("1 & (2) - - &", "4/4", ["quarter", "quarter", "eighth"]),
        ("(1) - 3 4", "4/4", ["half"]),
        ("1 (2) - -", "4/4", ["quarter", "half"]),
        ("1 (2) -", "3/4", ["quarter", "quarter"]),
        ("1 (2) - 4 5 6", "6/8", ["quarter"]),
        ("(1) - - -", "4/4", ["whole"]),
        ("1 2 3 (4) | - 2 (3) -", "4/4", ["quarter", "quarter", "half"]),
    ],
)
def test_a_rest_shows_the_beats_it_goes_over(counts, meter, rests):
    """Rests are never syncopated; half a bar of 4/4 and a whole bar stay one (common practice)."""
    bars = measures(snare_fill(Bar.from_counts(counts, meter)))
    symbols = [symbol for (part,) in bars for symbol in part.symbols]
    assert [one.value for one in symbols if one.stroke is None] == rests


def test_the_feet_need_no_number_where_the_hands_show_the_tuplet():
    bar = Bar.from_counts("1 trip let 2 trip let 3 4")
    hand, foot = Stroke(Surface.SNARE), Stroke(Surface.BASS_DRUM, "RF")
    _, feet = parts(Fill(bar, (hand, hand, foot, foot, foot, foot, hand, hand)))
    assert [group.onset for group in feet.tuplets] == [0, 1]
    assert [group.onset for group in feet.unmarked] == [0]


def test_a_sextuplet_has_its_number_in_both_voices():
    """16ths of the feet alone do not show whether four or six make a beat."""
    bar = Bar.from_counts("1 trip let & trip let 2 3 4")
    hand, foot = Stroke(Surface.SNARE), Stroke(Surface.BASS_DRUM, "RF")
    hands, feet = parts(Fill(bar, (hand, hand, foot, foot, hand, hand, hand, hand, hand)))
    assert [group.number for group in hands.tuplets] == [6]
    assert [group.number for group in feet.tuplets] == [6]
    assert feet.unmarked == ()
    assert sum(symbol.hidden for symbol in feet.symbols if symbol.end <= 1) > 0


def test_rests_too_fine_to_join_keep_their_values():
    """A dotted 32nd leaves a place that no plain rest reaches to the end of the beat."""
    lengths = [
        ("dotted 32nd", "3/16"),
        ("dotted 32nd", "3/16"),
        ("32nd", "1/8"),
        ("eighth", "1/2"),
        ("quarter", "1"),
    ]
    notes, onset = [], Fraction(0)
    for value, length in lengths:
        notes.append(Note(onset, Fraction(length), value))
        onset += Fraction(length)
    foot = Stroke(Surface.BASS_DRUM, "RF")
    fill = Fill(Bar(Meter(2, 4), tuple(notes)), (Stroke(Surface.SNARE), foot, foot, foot, foot))
    hands = voices(fill)[0]
    assert [symbol.value for symbol in hands.symbols] == [value for value, _ in lengths]
