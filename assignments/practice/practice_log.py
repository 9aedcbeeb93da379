"""What a student does with their fills: log practice, call one mastered, take that back."""

import uuid
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import transaction

from assignments.days import today_in
from assignments.mastery import CONFIRMED, MASTERED, TAKEN_BACK
from assignments.models import AssignedVariation, EntryChange, MasteryEvent, PracticeEntry
from studio.models import Student, Teacher

LOGGED_WITHIN = timedelta(days=366)
CLEAN_OF_LOOPS = "Give how many of the %(loops)s times through were clean, from 0 to %(loops)s."
LOOPS_FIRST = "Say first how many times you played it, then how many of these were clean."


@dataclass(frozen=True)
class Practised:
    """One thing to log: minutes on a day, of a fill or of none in particular.

    `loops` is how many times through, `clean_loops` how many of these were clean; `felt` is a
    value of `PracticeEntry.Felt`; a `recheck` was played cold, to see whether the fill holds;
    `easier`: it was played in the simpler form that Today had for it.
    """

    minutes: Decimal
    day: date
    variation: AssignedVariation | None = None
    tempo: int | None = None
    note: str = ""
    id: uuid.UUID = field(default_factory=uuid.uuid4)
    loops: int | None = None
    clean_loops: int | None = None
    felt: str = ""
    recheck: bool = False
    easier: bool = False


class LoggedDifferentlyError(Exception):
    """Raised where an id is logged already, with other content."""

    code = "logged-differently"

    def __init__(self) -> None:
        super().__init__("There is already an entry with this id, and it says something else.")


class TooLateToChangeError(Exception):
    """Raised where an entry is to be changed after the day on which it was logged."""

    code = "too-late"

    def __init__(self) -> None:
        super().__init__(
            "An entry can be changed on the day it was logged. Remove it and log it anew instead."
        )


def check_day(day: date, today: date) -> None:
    """Raise ValidationError for a day that has not come yet, or is more than a year ago."""
    if day > today:
        raise ValidationError(
            "This day has not come yet. Choose today or a day before.", code="future"
        )
    if day < today - LOGGED_WITHIN:
        raise ValidationError(
            "This day is more than a year ago. Check the year.", code="too-long-ago"
        )


def check_clean_loops(loops: int | None, clean_loops: int | None) -> None:
    """Raise ValidationError for more clean times through than there were at all."""
    if clean_loops is None:
        return
    if loops is None:
        raise ValidationError(LOOPS_FIRST, code="loops-missing")
    if clean_loops > loops:
        raise ValidationError(CLEAN_OF_LOOPS, code="more-than-loops", params={"loops": loops})


@transaction.atomic
def log(student: Student, practised: Practised) -> tuple[PracticeEntry, bool]:
    """Return the entry in the student's log, and whether it is new.

    Logging the same again (a double click, a phone that was offline) changes nothing, also
    where the entry was changed since. Raises LoggedDifferentlyError where the id stands for
    something else.
    """
    content = content_of(practised)
    entry, is_new = PracticeEntry.objects.get_or_create(
        pk=practised.id, defaults={**content, "student": student}
    )
    if is_new:
        if entry.recheck:
            entry.apply_recheck()
        return entry, True
    sent = PracticeEntry(**content).snapshot
    if entry.student != student or sent not in _all_contents(entry):
        raise LoggedDifferentlyError
    return entry, False


def _all_contents(entry: PracticeEntry) -> Iterator[dict]:
    yield entry.snapshot
    for change in entry.changes.all():
        yield change.before


def may_change(entry: PracticeEntry, today: date) -> bool:
    """Whether it is still the student's day on which the entry was logged."""
    return entry.created_at.astimezone(entry.student.studio.zone).date() == today


@transaction.atomic
def change(entry: PracticeEntry, practised: Practised) -> None:
    """Replace the content of the entry; the former content is kept.

    Raises TooLateToChangeError after the day on which it was logged.
    """
    if not may_change(entry, today_in(entry.student.studio)):
        raise TooLateToChangeError
    before = entry.snapshot
    for name, value in (content_of(practised) | {"easier": entry.easier}).items():
        setattr(entry, name, value)
    if entry.snapshot == before:
        return
    entry.changes.create(kind=EntryChange.Kind.EDITED, before=before)
    entry.save()
    entry.apply_recheck()


def content_of(practised: Practised) -> dict:
    """Return the fields of the entry that says this."""
    names = ("variation", "day", "minutes", "tempo", "note")
    more = ("loops", "clean_loops", "felt", "recheck", "easier")
    return {name: getattr(practised, name) for name in (*names, *more)}


@transaction.atomic
def mark_mastered(variation: AssignedVariation, press: uuid.UUID | None = None) -> None:
    """Call the fill mastered from now on; one that is already mastered keeps its day.

    A `press` that was heard before, whatever happened since, changes nothing.
    """
    variation.wait_for_others()
    if variation.mastered_at is None and _is_new(press):
        variation.record_step(MASTERED, _day_of_mark(variation), press=press)


@transaction.atomic
def take_back(
    variation: AssignedVariation, teacher: Teacher | None = None, press: uuid.UUID | None = None
) -> None:
    """The fill is not mastered after all, says the student or the teacher; it is played again."""
    variation.wait_for_others()
    if variation.mastered_at is not None and _is_new(press):
        variation.record_step(TAKEN_BACK, _day_of_mark(variation), teacher=teacher, press=press)


def _is_new(press: uuid.UUID | None) -> bool:
    return press is None or not MasteryEvent.objects.filter(press=press).exists()


@transaction.atomic
def confirm(variation: AssignedVariation, teacher: Teacher) -> None:
    """The teacher has heard that it holds; where it holds already, that changes nothing more."""
    variation.wait_for_others()
    latest = variation.mastery_events.kept().last()
    if latest is None or latest.kind != CONFIRMED:
        variation.record_step(CONFIRMED, _day_of_mark(variation), teacher=teacher)


def _day_of_mark(variation: AssignedVariation) -> date:
    """Today, and never before the mark that it follows: the clock or the time zone may be set."""
    latest = variation.mastery_events.kept().filter(entry=None).last()
    today = today_in(variation.assignment.studio)
    return max(today, latest.day) if latest else today
