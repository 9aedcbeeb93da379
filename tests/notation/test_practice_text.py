"""What is said of the groove before a fill."""

import pytest

from rhythms.engine import Bar
from rhythms.engine.fills.hands import StickingStyle
from rhythms.notation.practice_text import HANDS_PROPOSED, groove_before


@pytest.mark.parametrize(
    ("counts", "meter", "words"),
    [
        ("1 2 3 4", "4/4", "7 bars of groove"),
        ("(1) (2) 3 4", "4/4", "Groove up to 3 of bar 8"),
        ("(1) (2) & 3 4", "4/4", "Groove up to 2 & of bar 8"),
        ("(1) 4 5 6", "6/8", "Groove up to 4 of bar 8"),
        ("(1) (2) (3) (4)", "4/4", "7 bars of groove"),
        ("1 2 3 4 | 1 2 3 4", "4/4", "6 bars of groove"),
        ("(1) (2) (3) 4 | 1 2 3 4", "4/4", "Groove up to 4 of bar 7"),
        ("(1) (2) (3) (4) | (1) 2 3 4", "4/4", "Groove up to 2 of bar 8"),
    ],
)
def test_the_groove_before_a_fill_goes_up_to_its_first_stroke(counts, meter, words):
    assert groove_before(Bar.from_counts(counts, meter), 8) == words


@pytest.mark.parametrize(
    ("counts", "bars", "words"),
    [
        ("1 2 3 4", 4, "3 bars of groove, the last one leading into it"),
        ("1 2 3 4 | 1 2 3 4", 3, "1 bar of groove that leads into it"),
        ("(1) (2) 3 4", 4, "Groove up to 3 of bar 4, bar 3 leading into it"),
        ("1 2 3 4 | 1 2 3 4", 2, "0 bars of groove"),
    ],
)
def test_it_is_said_that_its_last_bar_leads_into_the_fill(counts, bars, words):
    assert groove_before(Bar.from_counts(counts), bars, sets_up=True) == words


def test_every_style_of_sticking_has_its_words():
    assert set(HANDS_PROPOSED) == set(StickingStyle)
