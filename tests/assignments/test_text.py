"""Days, minutes and lists as a teacher would say them."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from assignments import text

WEDNESDAY = date(2026, 11, 25)


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (0, "today"),
        (1, "yesterday"),
        (2, "2 days ago"),
        (13, "13 days ago"),
        (14, "2 weeks ago"),
        (27, "3 weeks ago"),
    ],
)
def test_how_long_ago(days, words):
    assert text.ago(WEDNESDAY - timedelta(days=days), WEDNESDAY) == words


def test_what_never_was_is_never():
    assert text.ago(None, WEDNESDAY) == "never"


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (0, "today"),
        (1, "tomorrow"),
        (2, "Friday"),
        (6, "Tuesday"),
        (7, "Wednesday 2 December"),
    ],
)
def test_what_is_to_come(days, words):
    assert text.upcoming(WEDNESDAY + timedelta(days=days), WEDNESDAY) == words


def test_a_day_without_a_date_has_no_words():
    assert text.upcoming(None, WEDNESDAY) == ""


@pytest.mark.parametrize(("days", "words"), [(-1, ""), (0, "due today"), (2, "due Friday")])
def test_when_something_is_due(days, words):
    assert text.due(WEDNESDAY + timedelta(days=days), WEDNESDAY) == words


@pytest.mark.parametrize(
    ("amount", "words"),
    [
        ("5.0", "5 min"),
        ("2.5", "2.5 min"),
        ("100", "100 min"),
        ("0.0", "0 min"),
        ("1234", "1,234 min"),
    ],
)
def test_minutes_without_idle_zeros(amount, words):
    assert text.minutes(Decimal(amount)) == words


@pytest.mark.parametrize(
    ("number", "words"), [(0, "0 fills"), (1, "1 fill"), (3, "3 fills"), (1204, "1,204 fills")]
)
def test_a_count_with_its_noun(number, words):
    assert text.count(number, "fill") == words


@pytest.mark.parametrize(
    ("names", "words"),
    [(["Mira"], "Mira"), (["Mira", "Tom"], "Mira and Tom"), (["A", "B", "C"], "A, B and C")],
)
def test_names_in_a_row(names, words):
    assert text.listed(names) == words


@pytest.mark.parametrize(("number", "words"), [(1, "once"), (2, "twice"), (14, "14 times")])
def test_how_often(number, words):
    assert text.times(number) == words


ENTRY = {"minutes": "5.0", "tempo": 88, "loops": 5, "clean_loops": 4, "felt": "easy", "note": ""}


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({}, "5 min at 88, 4 of 5 clean, felt easy"),
        ({"clean_loops": None}, "5 min at 88, 5 times through, felt easy"),
        ({"loops": 1, "clean_loops": None}, "5 min at 88, 1 time through, felt easy"),
        ({"loops": None, "tempo": None, "felt": ""}, "5 min"),
        (
            {"felt": "sore", "note": "Left hand"},
            "5 min at 88, 4 of 5 clean, something hurt, “Left hand”",
        ),
    ],
)
def test_what_an_entry_says(changes, words):
    assert text.practised(ENTRY | changes) == words
