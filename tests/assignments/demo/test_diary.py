"""The diaries of the demo's students, on any day of the week that it is run."""

from datetime import date, timedelta

import pytest

from assignments.demo import practice_habits
from assignments.demo.diary import Diary, DiaryPiece
from assignments.models.assignment import FASTEST, SLOWEST

MONDAY = date(2026, 3, 16)
WEEKDAYS = [MONDAY + timedelta(days=n) for n in range(7)]
NAMED = {
    name: habit
    for name, habit in vars(practice_habits).items()
    if isinstance(habit, practice_habits.Habit)
}
of_every_habit = pytest.mark.parametrize("habit", NAMED.values(), ids=NAMED)
on_any_weekday = pytest.mark.parametrize("today", WEEKDAYS, ids=lambda day: f"{day:%A}")


def twelve_weeks(habit, today, seed="a student"):
    """A diary up to today, of two new fills a week; there is a lesson every Thursday."""
    last_lesson = today - timedelta(days=(today.weekday() - 3) % 7)
    first = last_lesson - timedelta(weeks=11)
    lessons = [first + timedelta(weeks=week) for week in range(12)]
    pieces = [DiaryPiece(n, lessons[n // 2], tempo=90) for n in range(24)]
    diary = Diary(habit, pieces, seed)
    diary.keep([first + timedelta(days=n) for n in range((today - first).days + 1)], last_lesson)
    return diary


def days_of(diary):
    return {sitting.day for sitting in diary.sittings}


def pieces_of(diary):
    return {sitting.piece for sitting in diary.sittings}


@on_any_weekday
def test_who_never_practises_has_an_empty_diary(today):
    assert twelve_weeks(practice_habits.NEVER, today).sittings == []


@on_any_weekday
def test_who_has_favourites_plays_the_first_two_fills_and_no_other(today):
    diary = twelve_weeks(practice_habits.SAME_TWO, today)
    assert pieces_of(diary) == set(diary.pieces[:2])


@on_any_weekday
def test_the_star_practises_more_days_than_anybody_and_did_so_this_week(today):
    days = {name: days_of(twelve_weeks(habit, today)) for name, habit in NAMED.items()}
    assert len(days["STAR"]) == max(len(others) for others in days.values())
    assert max(days["STAR"]) > today - timedelta(days=4)


@on_any_weekday
def test_who_stopped_has_no_entry_in_the_last_three_weeks(today):
    diary = twelve_weeks(practice_habits.STOPPED, today)
    assert diary.sittings
    assert max(days_of(diary)) <= today - timedelta(weeks=3)


@on_any_weekday
def test_who_crams_practises_on_the_day_before_every_lesson(today):
    diary = twelve_weeks(practice_habits.THE_DAY_BEFORE, today)
    wednesdays = [day for day in days_of(diary) if day.weekday() == 2]
    assert len(wednesdays) >= 11
    assert {day.weekday() for day in days_of(diary)} <= {1, 2, 3}


@of_every_habit
def test_no_fill_is_played_before_it_was_given(habit):
    diary = twelve_weeks(habit, MONDAY)
    assert all(sitting.day >= sitting.piece.given_on for sitting in diary.sittings)


@of_every_habit
def test_no_fill_is_mastered_on_the_first_day_it_is_played(habit):
    diary = twelve_weeks(habit, MONDAY)
    for piece, day in diary.mastered_on.items():
        assert day > min(sitting.day for sitting in diary.sittings if sitting.piece == piece)


@of_every_habit
def test_minutes_and_tempi_are_such_as_a_log_takes(habit):
    for sitting in twelve_weeks(habit, MONDAY).sittings:
        assert 0 < sitting.minutes <= 180
        assert sitting.tempo is None or SLOWEST <= sitting.tempo <= FASTEST


def test_the_same_seed_gives_the_same_diary():
    one, again = (twelve_weeks(practice_habits.STEADY, MONDAY, "Fenna") for _ in range(2))
    assert one.sittings == again.sittings
    assert one.mastered_on == again.mastered_on


def test_another_seed_gives_another_diary():
    one, other = (twelve_weeks(practice_habits.STEADY, MONDAY, seed) for seed in ("Fenna", "Mei"))
    assert one.sittings != other.sittings
