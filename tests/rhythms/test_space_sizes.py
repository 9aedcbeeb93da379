"""Sizes in words; durations reckoned by hand, with the year of 365.25 days."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms import space_sizes
from rhythms.bench.hostile_rules import eight_forbidden
from rhythms.space_sizes import CountsOfAPage, in_words


@pytest.mark.parametrize(
    ("size", "words"),
    [
        (0, "0 fills"),
        (1, "1 fill"),
        (2, "2 fills: at one a minute, 2 minutes"),
        (89, "89 fills: at one a minute, 89 minutes"),
        (90, "90 fills: at one a minute, 2 hours"),
        # 2,401 / 60 = 40.02 hours
        (2_401, "2,401 fills: at one a minute, 40 hours"),
        # 4,096 / 1,440 = 2.8 days
        (4_096, "4,096 fills: at one a minute, 3 days"),
        # 262,144 / 1,440 = 182 days = 5.98 months
        (262_144, "262,144 fills: at one a minute, 6 months"),
        # 16,777,216 / 525,960 = 31.9 years
        (16_777_216, "16,777,216 fills: at one a minute, 32 years"),
        # 8^16 / 525,960 = 535 million years
        (8**16, "281,474,976,710,656 fills: at one a minute, 535 million years"),
        # 10^15 / 525,960 = 1.9 billion years
        (
            10**15,
            "1,000,000,000,000,000 fills, about 1 × 10¹⁵: at one a minute, 2 billion years",
        ),
        (
            8**30,
            (
                "1,237,940,039,285,380,274,899,124,224 fills, about 1.2 × 10²⁷: "
                "at one a minute, longer than the universe has been there"
            ),
        ),
    ],
)
def test_a_size_in_words(size, words):
    assert in_words(size) == words


def test_about_never_says_ten_times_a_power():
    assert "about 1 × 10²⁴" in in_words(9_999 * 10**20)


def test_a_size_past_every_float_is_still_printed_exactly():
    assert in_words(10**399).startswith("1" + ",000" * 133 + " fills, about 1 × 10³⁹⁹")


@given(st.integers(min_value=2, max_value=10**60))
def test_the_digits_are_exact(size):
    digits = in_words(size).partition(" ")[0]
    assert int(digits.replace(",", "")) == size


@given(st.integers(min_value=10**15, max_value=10**60))
def test_about_is_within_a_twentieth(size):
    about = in_words(size).partition("about ")[2].partition(":")[0]
    mantissa, power = about.split(" × 10")
    exponent = int(power.translate(str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789")))
    assert abs(float(mantissa) * 10**exponent / size - 1) <= 0.05


def test_a_page_counts_and_explains_no_more_than_a_few_of_the_largest(monkeypatch):
    empty = eight_forbidden(2)
    alone = CountsOfAPage()
    assert alone.refusal(empty, "Too many.") == ""
    assert "Which of them clash is too much to work out" not in alone.clash(empty)
    monkeypatch.setattr(space_sizes, "COUNTING", empty.graph.work.done / 4)
    counts = CountsOfAPage()
    assert counts.refusal(empty, "Too many.") == ""
    assert "Which of them clash is too much to work out" in counts.clash(empty)
    assert counts.refusal(eight_forbidden(1), "Too many.") == "Too many."
