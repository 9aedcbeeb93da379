"""What is said of the groove before a fill."""

import pytest

from rhythms.engine import Bar
from rhythms.engine.bars.phrases import phrase_of
from rhythms.engine.fills.hands import StickingStyle
from rhythms.notation.practice_text import HANDS_PROPOSED, groove_before

#: How a phrase of four bars begins, with a smaller fill of one beat.
LATE = "Groove up to beat 4 of bar 2"


@pytest.mark.parametrize(
    ("counts", "meter", "words"),
    [
        ("1 2 3 4", "4/4", "7 bars of groove"),
        ("(1) (2) 3 4", "4/4", "Groove up to beat 3 of bar 8"),
        ("(1) (2) & 3 4", "4/4", "Groove up to 2 & of bar 8"),
        ("(1) 4 5 6", "6/8", "Groove up to count 4 of bar 8"),
        ("(1) (2) (3) (4)", "4/4", "7 bars of groove"),
        ("1 2 3 4 | 1 2 3 4", "4/4", "6 bars of groove"),
        ("(1) (2) (3) 4 | 1 2 3 4", "4/4", "Groove up to beat 4 of bar 7"),
        ("(1) (2) (3) (4) | (1) 2 3 4", "4/4", "Groove up to beat 2 of bar 8"),
    ],
)
def test_the_groove_before_a_fill_goes_up_to_its_first_stroke(counts, meter, words):
    assert groove_before(Bar.from_counts(counts, meter), 8) == words


@pytest.mark.parametrize(
    ("counts", "bars", "words"),
    [
        ("1 2 3 4", 4, "3 bars of groove, the last one leading into it"),
        ("1 2 3 4 | 1 2 3 4", 3, "1 bar of groove that leads into it"),
        ("(1) (2) 3 4", 4, "Groove up to beat 3 of bar 4, bar 3 leading into it"),
        ("1 2 3 4 | 1 2 3 4", 2, "0 bars of groove"),
        ("(1) - - - | (1) 2 3 4", 4, "Groove up to beat 2 of bar 4, bar 3 leading into it"),
    ],
)
def test_it_is_said_that_its_last_bar_leads_into_the_fill(counts, bars, words):
    assert groove_before(Bar.from_counts(counts), bars, sets_up=True) == words


@pytest.mark.parametrize(
    ("bars", "smaller", "block", "words"),
    [
        (4, 1, 8, "up to beat 4 of bar 6, and again in bar 7, bars 5 and 7 leading into the fills"),
        (4, 1, 4, "up to beat 4 of bar 2, and again in bar 3, bars 1 and 3 leading into the fills"),
        (4, 0, 4, "3 bars of groove, bar 3 leading into it"),
        (2, 1, 8, "Groove up to beat 4 of bar 7, bar 6 leading into it"),
    ],
)
def test_it_is_said_which_bars_lead_into_the_fills_of_a_phrase(bars, smaller, block, words):
    phrase = phrase_of(Bar.from_counts("1 2 3 4"), bars, smaller)
    assert words in groove_before(phrase, block, sets_up=True)


@pytest.mark.parametrize(
    ("counts", "smaller", "block", "words"),
    [
        ("1 2 3 4", 1, 4, "Groove up to beat 4 of bar 2, and again in bar 3"),
        ("1 2 3 4", 1, 8, "Groove up to beat 4 of bar 6, and again in bar 7"),
        ("1 2 3 4", 0, 4, "3 bars of groove"),
        ("1 2 3 4", 0, 8, "7 bars of groove"),
        ("(1) 2 3 4", 1, 4, f"{LATE}, and again from bar 3 up to beat 2 of bar 4"),
        ("1 2 3 4 | 1 2 3 4", 4, 4, "1 bar of groove"),
    ],
)
def test_groove_of_a_phrase_is_told_by_its_bars(counts, smaller, block, words):
    assert groove_before(phrase_of(Bar.from_counts(counts), 4, smaller), block) == words


def test_every_style_of_sticking_has_its_words():
    assert set(HANDS_PROPOSED) == set(StickingStyle)
