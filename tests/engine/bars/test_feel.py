"""Feel: what swings, by how much, and what stays where it is written."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Meter
from rhythms.engine.bars.feel import (
    EIGHTHS,
    LEAST,
    MOST,
    PAIRS,
    SIXTEENTHS,
    STRAIGHT,
    WORDS,
    Feel,
    FeelError,
    named_feels,
)
from tests.strategies import bars, meters

TRIPLET = Feel(67)


def feels() -> st.SearchStrategy[Feel]:
    """Any feel."""
    return st.builds(Feel, st.integers(LEAST, MOST), st.sampled_from(sorted(PAIRS)))


def onsets() -> st.SearchStrategy[Fraction]:
    """Any place in or near a bar."""
    return st.fractions(-1, 5, max_denominator=96)


@given(feels(), bars(), onsets(), onsets())
def test_what_is_written_later_sounds_later(feel, bar, one, other):
    warp = feel.warp_of(bar)
    assert (one < other) == (warp.sounding(one) < warp.sounding(other))


@given(feels(), bars(), onsets())
def test_sounding_and_written_time_are_each_others_inverse(feel, bar, onset):
    warp = feel.warp_of(bar)
    assert warp.written(warp.sounding(onset)) == onset
    assert warp.sounding(warp.written(onset)) == onset


@given(bars(), onsets(), st.sampled_from(sorted(PAIRS)))
def test_straight_sounds_as_it_is_written(bar, onset, unit):
    assert Feel(50, unit).warp_of(bar).sounding(onset) == onset


@given(feels(), bars())
def test_beats_and_bar_lines_stay_where_they_are(feel, bar):
    warp = feel.warp_of(bar)
    lines = [*(beat.onset for beat in bar.meter.beats), bar.meter.length]
    assert [warp.sounding(line) for line in lines] == lines


@given(feels(), bars())
def test_a_beat_with_a_triplet_is_not_swung(feel, bar):
    warp = feel.warp_of(bar)
    pair = PAIRS[feel.unit]
    tuplets = {note.onset // pair for note in bar.notes if note.onset.denominator % 3 == 0}
    inside = [note.onset for note in bar.notes if note.onset // pair in tuplets]
    assert [warp.sounding(onset) for onset in inside] == inside


@given(feels(), bars())
def test_nothing_is_moved_further_than_the_second_of_two(feel, bar):
    warp = feel.warp_of(bar)
    furthest = (feel.share - Fraction(1, 2)) * PAIRS[feel.unit]
    assert all(0 <= warp.sounding(n.onset) - n.onset <= furthest for n in bar.notes)


def swung(counts: str, feel: Feel = TRIPLET, meter: str = "4/4") -> list[Fraction]:
    bar = Bar.from_counts(counts, meter)
    warp = feel.warp_of(bar)
    return [warp.sounding(note.onset) for note in bar.sounded]


def test_two_eighths_in_triplet_swing_are_a_quarter_and_an_eighth_of_a_triplet():
    assert swung("1 & 2 3 4")[:2] == [0, Fraction(2, 3)]


def test_16ths_keep_their_share_of_each_half_where_eighths_swing():
    thirds = [Fraction(0), Fraction(1, 3), Fraction(2, 3), Fraction(5, 6)]
    assert swung("1 e & a 2 3 4")[:4] == thirds


def test_swung_16ths_leave_the_eighths_where_they_are():
    sixths = [Fraction(0), Fraction(1, 3), Fraction(1, 2), Fraction(5, 6)]
    assert swung("1 e & a 2 3 4", Feel(67, SIXTEENTHS))[:4] == sixths


def test_a_triplet_beside_swung_eighths_sounds_as_written():
    assert swung("1 trip let 2 & 3 4")[:5] == [
        Fraction(0),
        Fraction(1, 3),
        Fraction(2, 3),
        Fraction(1),
        Fraction(5, 3),
    ]


def test_the_middle_of_a_beat_in_six_is_not_swung_even_where_its_thirds_are_rests():
    counts = "1 (trip) (let) & (trip) (let) 2 3 4"
    assert swung(counts)[1] == Fraction(1, 2)


@pytest.mark.parametrize("meter", ["6/8", "7/8", "9/8", "12/8"])
def test_eighths_that_are_counted_do_not_swing(meter):
    assert not TRIPLET.swings_in(Meter.parse(meter))
    assert TRIPLET.in_meter(Meter.parse(meter)) == STRAIGHT


def test_16ths_swing_under_counted_eighths():
    assert swung("1 & 2 3 4 5 6", Feel(67, SIXTEENTHS), "6/8")[1] == Fraction(1, 3)


# --- the number and its words ------------------------------------------------------------


@pytest.mark.parametrize(
    ("word", "ratio"),
    [
        # 1:1 and 2:1 are the ratios of the names; dotted eighth and 16th, 3:1, is common practice.
        ("straight", (1, 1)),
        ("triplet", (2, 1)),
        ("hard", (3, 1)),
        # Between even notes and the triplet, where the measured ratios of fast tempos lie
        # (Friberg and Sundström 2002); this very number is a proposal.
        ("light", (29, 21)),
    ],
)
def test_each_word_stands_for_an_exact_ratio(word, ratio):
    share = Feel.parse(word).share
    assert share / (1 - share) == Fraction(*ratio)


def test_what_drummers_were_measured_to_play_is_within_the_limits():
    # "as high as 3.5:1" at slow tempos, "1:1" at fast ones: Friberg and Sundström 2002, abstract.
    assert LEAST <= 100 * Fraction(1, 2) <= 100 * Fraction(7, 9) <= MOST


@pytest.mark.parametrize("text", ["67", " 67 % ", "67%", "triplet", "Triplet swing"])
def test_a_swing_is_typed_as_a_number_or_a_word(text):
    assert Feel.parse(text) == TRIPLET


@given(feels())
def test_a_feel_is_read_back_from_its_own_number_and_its_json(feel):
    assert Feel.parse(str(feel.swing), feel.unit) == feel
    assert Feel.from_json(feel.to_json()) == feel


def test_no_feel_that_was_kept_is_straight():
    assert Feel.from_json(None) == STRAIGHT


@pytest.mark.parametrize("text", ["300", "300 %", "49", "81", "-67", "0", "9" * 40])
def test_a_swing_that_cannot_be_played_is_refused_with_what_can(text):
    with pytest.raises(FeelError, match=r"a number from 50 to 80, such as .*67 \(triplet\)"):
        Feel.parse(text)


@pytest.mark.parametrize("text", ["", "a lot", "6 7", "two thirds", "６７ⅹ"])
def test_what_is_no_swing_is_refused_with_what_was_typed(text):
    with pytest.raises(FeelError, match=f"“{text}” is not a swing"):
        Feel.parse(text)


def test_only_eighths_and_16ths_swing():
    with pytest.raises(FeelError, match="“quarters” do not swing"):
        Feel(67, "quarters")


def test_the_words_of_a_feel_say_what_swings_where_it_is_not_the_eighths():
    words = {Feel(s, u).words for s in (50, 62, 67) for u in (EIGHTHS, SIXTEENTHS)}
    assert words == {
        "straight",
        "62 % swing",
        "62 % swing of the 16ths",
        "triplet swing",
        "triplet swing of the 16ths",
    }


@given(meters())
def test_every_feel_with_a_word_that_swings_in_a_meter_is_offered_there(meter):
    offered = named_feels(meter)
    assert offered[0] == STRAIGHT
    assert {feel.unit for feel in offered[1:]} == (
        {SIXTEENTHS} if meter.in_eighths else {EIGHTHS, SIXTEENTHS}
    )
    assert len(offered) == 1 + (len(WORDS) - 1) * (1 if meter.in_eighths else 2)
