"""What was practised and what is mastered, for some students at once.

Every function asks the database the same number of times, however many students there are.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import accumulate
from typing import NamedTuple
from zoneinfo import ZoneInfo

from django.db.models import Count, OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import TruncDate

from assignments.models import AssignedVariation, PracticeEntry
from assignments.models.variation import VariationQuerySet
from studio.models import Student

NONE = Decimal(0)
#: Progress is shown over four weeks.
DAYS_SHOWN = 28
_TENTH = Decimal("0.1")


class Tally(NamedTuple):
    """How many fills a student has, how many of them are mastered, and how many of these hold."""

    assigned: int = 0
    mastered: int = 0
    holding: int = 0


@dataclass(frozen=True)
class StudentTotals:
    """One student's progress: `minutes` day by day, over the days that were asked for."""

    student: Student
    minutes: tuple[Decimal, ...]
    last_practised: date | None
    tally: Tally

    @property
    def total(self) -> Decimal:
        """Minutes in all these days."""
        return sum(self.minutes, NONE)

    @property
    def days_practised(self) -> int:
        """On how many of these days there was any practice."""
        return sum(1 for minutes in self.minutes if minutes)


def standings(students: Iterable[Student], days: Sequence[date]) -> list[StudentTotals]:
    """Return how each student stands, in the order given; three queries."""
    students = list(students)
    minutes = minutes_by_day(students, days)
    last = last_practised(students)
    tallied = tallies(students)
    return [
        StudentTotals(
            student,
            tuple(minutes[student.pk].get(day, NONE) for day in days),
            last.get(student.pk),
            tallied.get(student.pk, Tally()),
        )
        for student in students
    ]


def minutes_by_day(
    students: Sequence[Student], days: Sequence[date]
) -> Mapping[int, dict[date, Decimal]]:
    """Return, by student pk, the minutes of each day on which there was practice."""
    minutes: defaultdict[int, dict[date, Decimal]] = defaultdict(dict)
    if days:
        logged = _entries(students).filter(day__range=(days[0], days[-1]))
        summed = logged.order_by().values_list("student", "day").annotate(Sum("minutes"))
        for student, day, total in summed:
            # SQLite adds decimals as floats; entries hold tenths.
            minutes[student][day] = total.quantize(_TENTH)
    return minutes


def minutes_of_each(students: Sequence[Student], days: Sequence[date]) -> dict[int, Decimal]:
    """Return, by student pk, the minutes of these days together; without those who have none."""
    logged = _entries(students).filter(day__range=(days[0], days[-1])).order_by()
    summed = logged.values_list("student").annotate(Sum("minutes"))
    return {student: total.quantize(_TENTH) for student, total in summed}


def minutes_in_all(
    students: Sequence[Student] | QuerySet[Student], days: Sequence[date]
) -> list[Decimal]:
    """Return the minutes that they practised together on each of these days."""
    logged = _entries(students).filter(day__range=(days[0], days[-1])).order_by()
    by_day = dict(logged.values_list("day").annotate(Sum("minutes")))
    return [by_day[day].quantize(_TENTH) if day in by_day else NONE for day in days]


def last_practised(students: Sequence[Student]) -> dict[int, date]:
    """Return, by student pk, the last day of practice; without those who never practised."""
    theirs = PracticeEntry.objects.kept().filter(student=OuterRef("pk")).order_by("-day")
    # A look into the index for each: the greatest of a group would read every entry there is.
    found = Student.objects.filter(pk__in=[student.pk for student in students]).order_by()
    latest = found.values_list("pk", Subquery(theirs.values("day")[:1]))
    return {pk: day for pk, day in latest if day is not None}


def tallies(students: Sequence[Student]) -> dict[int, Tally]:
    """Return, by student pk, how many fills they have, have mastered, and hold."""
    found = (
        _variations(students)
        .order_by()
        .values_list("assignment__student")
        .annotate(given=Count("*"), mastered=Count("mastered_at"), held=Count("held_at"))
    )
    return {student: Tally(*counts) for student, *counts in found}


def mastered_so_far(
    students: Sequence[Student] | QuerySet[Student], days: Sequence[date], zone: ZoneInfo
) -> tuple[int, ...]:
    """Return how many of their fills were mastered by the end of each day, in this zone."""
    mastered = _variations(students).filter(mastered_at__isnull=False)
    by_day = dict(
        mastered.order_by()
        .annotate(mastered_on=TruncDate("mastered_at", tzinfo=zone))
        .values_list("mastered_on")
        .annotate(Count("pk"))
    )
    before = sum(number for day, number in by_day.items() if day < days[0])
    return tuple(accumulate((by_day.get(day, 0) for day in days), initial=before))[1:]


def _entries(students: Sequence[Student] | QuerySet[Student]) -> QuerySet[PracticeEntry]:
    return PracticeEntry.objects.kept().filter(student__in=students)


def _variations(students: Sequence[Student] | QuerySet[Student]) -> VariationQuerySet:
    return AssignedVariation.objects.kept().filter(assignment__student__in=students)
