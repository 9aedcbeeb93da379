"""What was gained in a week, from what is in the log."""

import re
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assignments.today.week_gains import FillStanding, PlayedEntry, climbs, week_gains, week_of
from tests.thoroughness import examples

MONDAY = date(2026, 11, 23)
FRIDAY = MONDAY + timedelta(days=4)
ONE, OTHER = FillStanding("Hi-hat to floor tom"), FillStanding("All on the snare")


def on(days: int, tempo: int | None = None, fill: int | None = 1, **details) -> PlayedEntry:
    """Two minutes, so many days after that Monday."""
    return PlayedEntry(fill, MONDAY + timedelta(days=days), Decimal(2), tempo, **details)


def said(
    *played: PlayedEntry, standings: tuple[FillStanding, ...] = (ONE, OTHER), day=FRIDAY
) -> str:
    return week_gains(played, dict(enumerate(standings, 1)), day)


@pytest.mark.parametrize("days", range(7))
def test_a_week_begins_on_monday(days):
    assert week_of(MONDAY + timedelta(days=days)) == MONDAY


def test_without_practice_nothing_is_said():
    assert said() == ""


def test_practice_of_last_week_alone_says_nothing():
    assert said(on(-1, 88)) == ""


def test_a_tempo_that_climbed_is_said_from_the_fastest_before():
    played = on(-9, 72), on(-3, 76), on(0, 80), on(2, 88)
    assert said(*played) == "This week: Hi-hat to floor tom went from 76 to 88, 2 days."


def test_a_fill_begun_this_week_climbs_from_its_first_day():
    assert said(on(0, 60), on(0, 64), on(3, 70)).startswith(
        "This week: Hi-hat to floor tom went from 64 to 70"
    )


def test_of_several_climbs_the_farthest_is_said():
    played = on(-1, 80), on(1, 88), on(-1, 80, 2), on(1, 100, 2)
    assert "All on the snare went from 80 to 100" in said(*played)


def test_a_tempo_that_was_not_clean_was_not_reached():
    played = on(-1, 76), on(1, 90, loops=4, clean_loops=1), on(2, 80, loops=4, clean_loops=3)
    assert "from 76 to 80" in said(*played)


def test_one_fill_that_holds_is_called_by_its_name():
    held = ONE._replace(held_on=MONDAY, mastered_on=MONDAY)
    assert said(on(0), standings=(held,)) == "This week: Hi-hat to floor tom holds, 1 day."


def test_several_that_hold_are_counted():
    held = [one._replace(held_on=FRIDAY, mastered_on=MONDAY) for one in (ONE, OTHER)]
    assert said(on(0), on(1), standings=tuple(held)) == "This week: 2 fills hold, 2 days."


def test_what_is_mastered_is_said_beside_what_holds():
    mastered, held = ONE._replace(mastered_on=MONDAY), OTHER._replace(held_on=MONDAY)
    assert "All on the snare holds, Hi-hat to floor tom mastered" in said(
        on(0), standings=(mastered, held)
    )


def test_where_nothing_was_gained_it_says_what_was_played():
    assert said(on(0), on(1, fill=2), on(1)) == "This week: 2 fills, 6 min, 2 days."


def test_the_groove_alone_is_minutes():
    assert said(on(0, fill=None)) == "This week: 2 min, 1 day."


def test_a_fill_the_student_no_longer_has_has_no_name():
    assert said(on(-1, 70, 9), on(1, 90, 9)) == "This week: 1 fill, 2 min, 1 day."


DAYS = st.integers(-40, 12)
TEMPOS = st.none() | st.integers(30, 240)
ENTRIES = st.lists(
    st.builds(
        lambda days, tempo, fill, counts: on(days, tempo, fill, **counts),
        DAYS,
        TEMPOS,
        st.sampled_from([None, 1, 2, 9]),
        st.sampled_from([{}, {"loops": 4}, *({"loops": 4, "clean_loops": n} for n in range(5))]),
    ),
    max_size=12,
)
DATES = st.none() | DAYS.map(lambda days: MONDAY + timedelta(days=days))
STANDINGS = st.tuples(
    *(st.builds(FillStanding, st.just(one.name), DATES, DATES) for one in (ONE, OTHER))
)


@examples(400)
@given(ENTRIES, STANDINGS, st.integers(0, 6))
def test_nothing_is_said_of_any_other_week(entries, standings, days):
    """What is after the day, or before the week and slower than it, changes no word."""
    day = MONDAY + timedelta(days=days)
    later = [entry for entry in entries if entry.day <= day]
    assert said(*entries, standings=standings, day=day) == said(
        *later, standings=standings, day=day
    )
    ended = tuple(
        one._replace(
            held_on=one.held_on if one.held_on and MONDAY <= one.held_on <= day else None,
            mastered_on=one.mastered_on
            if one.mastered_on and MONDAY <= one.mastered_on <= day and not one.held_on
            else None,
        )
        for one in standings
    )
    assert said(*entries, standings=standings, day=day) == said(*entries, standings=ended, day=day)


@examples(400)
@given(ENTRIES, st.integers(0, 6))
def test_a_climb_is_always_upwards_and_was_played(entries, days):
    day = MONDAY + timedelta(days=days)
    known = [entry for entry in entries if entry.day <= day]
    for climb in climbs(known, {1: ONE, 2: OTHER}, day):
        fill = 1 if climb.name == ONE.name else 2
        of_fill = [entry for entry in known if entry.fill == fill]
        assert climb.before < climb.now
        assert climb.now in {entry.tempo for entry in of_fill if entry.day >= MONDAY}
        assert climb.before in {entry.tempo for entry in of_fill}


@examples(400)
@given(ENTRIES, STANDINGS, st.integers(0, 6))
def test_it_is_never_about_what_is_missing(entries, standings, days):
    """No zero, no "not", no "only", no day but those with practice."""
    day = MONDAY + timedelta(days=days)
    sentence = said(*entries, standings=standings, day=day)
    assert not re.search(r"\b(0|no|not|only|missed|less|back|fell)\b", sentence)
    practised = {entry.day for entry in entries if MONDAY <= entry.day <= day}
    assert sentence == "" if not practised else f", {len(practised)} day" in sentence
