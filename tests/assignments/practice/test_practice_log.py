"""Logging practice, and calling a fill mastered."""

import uuid
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from unittest.mock import Mock

import pytest
from django.db import IntegrityError
from django.utils import timezone

from assignments.days import today_in
from assignments.models import AssignedVariation, PracticeEntry
from assignments.models.variation import State
from assignments.practice.practice_log import (
    LoggedDifferentlyError,
    Practised,
    TooLateToChangeError,
    change,
    confirm,
    log,
    mark_mastered,
    take_back,
)
from tests.assignments.making import logged

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("one_cast")]
DAY = date(2026, 11, 24)
DAYS = timedelta(days=1)
ID = uuid.UUID("7b0e8d8e-9f0c-4a53-9a5a-0d9c1c7f3c11")


def again(**changes) -> Practised:
    return Practised(**{"minutes": Decimal(5), "day": DAY, "tempo": 88, "id": ID, **changes})


class TestLog:
    def test_keeps_what_was_practised(self, student, variation):
        entry, is_new = log(student, again(variation=variation))
        assert is_new
        assert (entry.minutes, entry.day, entry.tempo, entry.variation) == (5, DAY, 88, variation)

    def test_the_same_twice_is_kept_once(self, student):
        log(student, again())
        _, is_new = log(student, again())
        assert not is_new
        assert PracticeEntry.objects.count() == 1

    @pytest.mark.parametrize(
        "change",
        [{"minutes": Decimal(6)}, {"tempo": None}, {"note": "x"}, {"day": date(2026, 1, 1)}],
    )
    def test_the_same_id_with_something_else_is_refused(self, student, change):
        log(student, again())
        with pytest.raises(LoggedDifferentlyError):
            log(student, again(**change))

    def test_an_id_of_another_student_is_refused(self, student, classmate):
        log(student, again())
        with pytest.raises(LoggedDifferentlyError):
            log(classmate, again())

    def test_half_minutes_are_kept(self, student):
        logged(student, "2.5", DAY)
        assert PracticeEntry.objects.get().minutes == Decimal("2.5")

    @pytest.mark.parametrize("minutes", ["0", "-1", "180.1"])
    def test_the_database_holds_no_impossible_minutes(self, student, minutes):
        with pytest.raises(IntegrityError):
            logged(student, minutes, DAY)

    @pytest.mark.parametrize("minutes", ["0.1", "180"])
    def test_the_database_holds_the_shortest_and_the_longest(self, student, minutes):
        logged(student, minutes, DAY)
        assert PracticeEntry.objects.get().minutes == Decimal(minutes)


class TestWhatWasCounted:
    def test_loops_and_how_it_felt_are_kept(self, student, variation):
        entry, _ = log(student, again(variation=variation, loops=5, clean_loops=4, felt="easy"))
        entry.refresh_from_db()
        assert (entry.loops, entry.clean_loops, entry.felt) == (5, 4, "easy")

    @pytest.mark.parametrize("counted", [(0, None), (1000, None), (4, 5), (None, 1)])
    def test_the_database_holds_no_impossible_counts(self, student, counted):
        loops, clean = counted
        with pytest.raises(IntegrityError):
            log(student, again(loops=loops, clean_loops=clean))


class TestChanging:
    @pytest.fixture
    def entry(self, student, variation):
        return logged(student, 5, today_in(student.studio), variation, tempo=88)

    def changed(self, entry, **changes) -> PracticeEntry:
        before = Practised(entry.minutes, entry.day, entry.variation, entry.tempo, id=entry.pk)
        change(entry, replace(before, **changes))
        entry.refresh_from_db()
        return entry

    def test_it_says_something_else_from_then_on(self, entry):
        assert self.changed(entry, minutes=Decimal(7)).minutes == 7

    def test_earlier_values_are_kept_with_who_and_when(self, entry):
        self.changed(entry, minutes=Decimal(7))
        (was,) = entry.changes.all()
        assert (was.kind, was.who, was.before["minutes"]) == ("edited", "student", "5.0")
        assert was.at >= entry.created_at

    def test_every_change_is_kept(self, entry):
        for minutes in (6, 7, 8):
            self.changed(entry, minutes=Decimal(minutes))
        assert [was.before["minutes"] for was in entry.changes.all()] == ["5.0", "6.0", "7.0"]

    def test_the_same_again_is_no_change(self, entry):
        self.changed(entry)
        assert not entry.changes.exists()

    def test_removing_and_bringing_back_are_kept_too(self, entry):
        entry.remove()
        entry.restore()
        assert [was.kind for was in entry.changes.all()] == ["removed", "restored"]

    def test_on_a_later_day_it_is_too_late(self, entry):
        entry.created_at = timezone.now() - 2 * DAYS
        with pytest.raises(TooLateToChangeError):
            self.changed(entry, minutes=Decimal(7))

    def test_what_a_phone_sent_before_may_arrive_again(self, student, entry):
        first = Practised(entry.minutes, entry.day, entry.variation, entry.tempo, id=entry.pk)
        self.changed(entry, minutes=Decimal(7))
        _, is_new = log(student, first)
        entry.refresh_from_db()
        assert not is_new
        assert entry.minutes == 7


class TestMastered:
    def test_it_is_mastered(self, variation):
        mark_mastered(variation)
        assert state_of(variation) == State.MASTERED

    def test_calling_it_mastered_again_keeps_the_first_time(self, variation):
        mark_mastered(variation)
        first = variation.mastered_at
        mark_mastered(variation)
        assert variation.mastered_at == first
        assert variation.mastery_events.count() == 1

    def test_taken_back_it_is_new_again(self, variation):
        mark_mastered(variation)
        take_back(variation)
        assert state_of(variation) == State.NEW

    def test_taken_back_it_is_practised_if_it_was(self, student, variation):
        logged(student, 5, DAY, variation)
        mark_mastered(variation)
        take_back(variation)
        assert state_of(variation) == State.PRACTISING

    def test_a_removed_entry_does_not_make_it_practised(self, student, variation):
        logged(student, 5, DAY, variation).remove()
        assert state_of(variation) == State.NEW


class TestHolding:
    """Mastered on one day, played cold on another."""

    @pytest.fixture
    def mastered(self, variation):
        variation.record_step("mastered", DAY)
        return variation

    def recheck(self, student, variation, clean, *, days=1) -> PracticeEntry:
        return logged(
            student, 1, DAY + days * DAYS, variation, loops=4, clean_loops=clean, recheck=True
        )

    def test_a_clean_recheck_on_a_later_day_shows_that_it_holds(self, student, mastered):
        self.recheck(student, mastered, 4)
        assert state_of(mastered) == State.HOLDS

    def test_one_slip_in_four_is_clean_enough(self, student, mastered):
        self.recheck(student, mastered, 3)
        assert state_of(mastered) == State.HOLDS

    def test_on_the_same_day_it_shows_nothing(self, student, mastered):
        self.recheck(student, mastered, 4, days=0)
        assert state_of(mastered) == State.MASTERED

    def test_one_that_was_not_clean_brings_it_back(self, student, mastered):
        self.recheck(student, mastered, 1)
        assert state_of(mastered) == State.RETURNED

    def test_what_held_comes_back_too(self, student, mastered):
        self.recheck(student, mastered, 4)
        self.recheck(student, mastered, 0, days=5)
        assert state_of(mastered) == State.RETURNED

    def test_what_came_back_can_be_mastered_again(self, student, mastered):
        self.recheck(student, mastered, 1)
        mastered.refresh_from_db()
        mark_mastered(mastered)
        assert state_of(mastered) == State.MASTERED

    def test_there_is_no_verdict_before_the_clean_ones_were_counted(self, student, mastered):
        self.recheck(student, mastered, None)
        assert state_of(mastered) == State.MASTERED

    def test_a_fill_that_nobody_calls_mastered_does_not_hold(self, student, variation):
        self.recheck(student, variation, 4)
        assert state_of(variation) == State.PRACTISING

    def test_a_practice_that_was_no_recheck_proves_nothing(self, student, mastered):
        logged(student, 1, DAY + DAYS, mastered, loops=4, clean_loops=0)
        assert state_of(mastered) == State.MASTERED

    def test_a_recheck_that_is_removed_no_longer_counts_until_it_is_back(self, student, mastered):
        entry = self.recheck(student, mastered, 1)
        entry.remove()
        assert state_of(mastered) == State.MASTERED
        entry.restore()
        assert state_of(mastered) == State.RETURNED

    def test_a_recheck_that_is_put_right_counts_as_it_is_now(self, student, mastered):
        entry = self.recheck(student, mastered, 1)
        before = Practised(entry.minutes, entry.day, mastered, entry.tempo, id=entry.pk)
        change(entry, replace(before, loops=4, clean_loops=4, recheck=True))
        assert state_of(mastered) == State.HOLDS

    def test_what_a_phone_sends_late_counts_on_its_day(self, student, variation):
        """Played on Thursday, sent on Saturday; on Friday the student had called it mastered."""
        variation.record_step("mastered", DAY + 2 * DAYS)
        self.recheck(student, variation, 4, days=1)
        assert state_of(variation) == State.MASTERED

    def test_the_teacher_confirms_what_they_heard(self, mastered, teacher):
        confirm(mastered, teacher)
        assert state_of(mastered) == State.HOLDS

    def test_a_recheck_that_was_removed_does_not_ask_for_confirming_anew(
        self, student, mastered, teacher
    ):
        confirm(mastered, teacher)
        days = (today_in(student.studio) - DAY).days
        self.recheck(student, mastered, 1, days=days).remove()
        confirm(mastered, teacher)
        assert mastered.mastery_events.filter(kind="confirmed").count() == 1

    def test_the_teacher_confirms_also_what_the_student_does_not_dare_to(self, variation, teacher):
        confirm(variation, teacher)
        assert state_of(variation) == State.HOLDS

    def test_what_the_teacher_takes_back_came_back(self, mastered, teacher):
        take_back(mastered, teacher)
        assert state_of(mastered) == State.RETURNED

    def test_every_step_is_kept_with_who_and_when(self, student, mastered, teacher):
        self.recheck(student, mastered, 4)
        mastered.refresh_from_db()
        confirm(mastered, teacher)
        take_back(mastered, teacher)
        steps = mastered.mastery_events.order_by("at")
        assert [(step.kind, step.who) for step in steps] == [
            ("mastered", "student"),
            ("clean", "student"),
            ("confirmed", "teacher"),
            ("taken back", "teacher"),
        ]

    @pytest.mark.parametrize("hours", [-1, 1, -30, 30])
    def test_the_last_mark_stands_whatever_the_clock_said(self, variation, monkeypatch, hours):
        """By turns, by a clock that is right, then wrong by so many hours, then right again."""
        now = datetime.now(UTC)
        for number, wrong in enumerate((0, 0, hours, hours, 0, 0, hours, 0)):
            moment = now + timedelta(hours=wrong, minutes=number)
            monkeypatch.setattr(timezone, "datetime", Mock(**{"now.return_value": moment}))
            mark, state = (take_back, State.NEW) if number % 2 else (mark_mastered, State.MASTERED)
            mark(variation)
            assert state_of(variation) == state

    def test_a_step_that_no_longer_counts_is_kept_all_the_same(self, student, mastered):
        self.recheck(student, mastered, 1).remove()
        assert mastered.mastery_events.count() == 2
        assert mastered.mastery_events.kept().count() == 1


def state_of(variation) -> State:
    return AssignedVariation.objects.with_practice().get(pk=variation.pk).state
