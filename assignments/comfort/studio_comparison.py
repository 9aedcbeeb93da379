"""The studio side by side: who keeps playing what, and where there is something to do."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from heapq import nsmallest
from itertools import combinations
from operator import itemgetter
from typing import NamedTuple

from assignments.comfort.comfort_zones import Comfort, comfort_zones_of
from assignments.comfort.way_out import flag_of, ways_out_under_way
from assignments.days import days_up_to
from assignments.models import Assignment
from assignments.progress.student_totals import NONE, minutes_of_each
from rhythms.engine.comfort.facts import Fact
from rhythms.engine.comfort.habits import MoveMade
from rhythms.engine.comfort.traits import Trait
from rhythms.engine.comfort.zone import ZoneSummary
from studio.models import Student, Studio
from studio.pagination import is_in

#: Minutes are those logged in so many days.
DAYS_OF_MINUTES = 28
#: More pairs than this help nobody to plan.
MOST_PAIRS = 5


class Pair(NamedTuple):
    """Two students with the same habit: one idea for a lesson serves both."""

    one: Student
    other: Student
    habit: str


@dataclass(frozen=True)
class ComparisonRow:
    """One student beside the others."""

    student: Student
    minutes: Decimal
    comfort: Comfort
    #: One that was given so lately that it has not had its time.
    way_out: Assignment | None
    today: date

    @property
    def zone(self) -> ZoneSummary | None:
        """Their comfort zone; None where too few takes tell."""
        return self.comfort.zone

    @property
    def typical_move(self) -> MoveMade | None:
        """The habit they make most often, one between two surfaces before one that stays."""
        return self.zone.habit if self.zone else None

    @property
    def flag(self) -> str:
        """What is to be done something about, in a sentence; "" where there is nothing to do."""
        return flag_of(self.comfort, self.way_out, self.today)


@dataclass(frozen=True)
class SortColumn:
    """A column that the table can be sorted by; the key is None where it says nothing."""

    name: str
    title: str
    key: Callable[[ComparisonRow], float | str | None]


COLUMNS = (
    SortColumn("student", "Student", lambda row: row.student.nickname.casefold()),
    SortColumn("minutes", "Minutes", lambda row: float(row.minutes)),
    SortColumn(
        "variety", "Different fills", lambda row: row.zone.variety.value if row.zone else None
    ),
    SortColumn(
        "favourites", "Two favourites", lambda row: row.zone.favourite_share if row.zone else None
    ),
    SortColumn(
        "move",
        "Most typical move",
        lambda row: row.typical_move.share if row.typical_move else None,
    ),
    SortColumn("unused", "Not used", lambda row: len(row.zone.unused) if row.zone else None),
    SortColumn(
        "trend", "Trend", lambda row: row.comfort.trend.value if row.comfort.trend else None
    ),
)


class Order(NamedTuple):
    """By which column, and which way; without a column, those with something to do come first."""

    column: str = ""
    falling: bool = False

    @classmethod
    def parse(cls, text: str) -> "Order":
        """Read `variety` or `-variety`; what is no column orders nothing."""
        name = text.removeprefix("-")
        known = any(name == column.name for column in COLUMNS)
        return cls(name, text.startswith("-")) if known else cls()

    @property
    def text(self) -> str:
        """What `parse` reads it from."""
        return f"-{self.column}" if self.falling else self.column


def compare_students(studio: Studio, today: date) -> list[ComparisonRow]:
    """Return a row for each student, unordered; as many queries for a hundred as for one."""
    students = list(Student.objects.kept().filter(studio=studio))
    minutes = minutes_of_each(students, days_up_to(today, DAYS_OF_MINUTES))
    zones, given = comfort_zones_of(students, today), ways_out_under_way(students, today)
    return [
        ComparisonRow(
            student,
            minutes.get(student.pk, NONE),
            zones[student],
            given.get(student.pk),
            today,
        )
        for student in students
    ]


def called(rows: Iterable[ComparisonRow], wanted: str) -> list[ComparisonRow]:
    """Return the rows of those whose nickname has this in it, in capitals or not."""
    return [row for row in rows if is_in(wanted, row.student.nickname)]


def ordered(rows: Iterable[ComparisonRow], order: Order) -> list[ComparisonRow]:
    """Return the rows in this order; those that a column says nothing about come last."""
    by_name = sorted(rows, key=lambda row: row.student.nickname.casefold())
    if not order.column:
        return sorted(by_name, key=lambda row: (not row.flag, row.zone is None, _width(row)))
    key = next(column.key for column in COLUMNS if column.name == order.column)
    with_value = [row for row in by_name if key(row) is not None]
    without = [row for row in by_name if key(row) is None]
    return sorted(with_value, key=key, reverse=order.falling) + without  # type: ignore[arg-type]


def _width(row: ComparisonRow) -> float:
    """How much of the room there is for variety is used; without a room to compare with, all."""
    if row.zone is None or not row.zone.room:
        return 1.0
    return row.zone.variety.value / row.zone.room


def pairs(rows: Sequence[ComparisonRow]) -> list[Pair]:
    """Return which two students have a habit in common, those of most of the time first."""
    found = []
    for one, other in combinations(_foremost(rows), 2):
        if shared := _shared(one.zone, other.zone):
            found.append((shared[0], Pair(one.student, other.student, shared[1])))
    found.sort(key=lambda pair: (-pair[0], pair[1].one.nickname.casefold()))
    return [pair for _, pair in found[:MOST_PAIRS]]


def _foremost(rows: Iterable[ComparisonRow]) -> list[ComparisonRow]:
    """Those with most of each trait, in order: the pairs that are shown are among them."""
    of_traits: defaultdict[Trait, list[tuple[float, str, ComparisonRow]]] = defaultdict(list)
    for row in rows:
        for fact in _fallen_back_on(row.zone):
            name = row.student.nickname.casefold()
            of_traits[fact.trait].append((-fact.value, name, row))
    found = {
        row.student.pk: row
        for holders in of_traits.values()
        for _, _, row in nsmallest(MOST_PAIRS + 1, holders, key=itemgetter(0, 1))
    }
    return sorted(found.values(), key=lambda row: (row.student.nickname, row.student.pk))


def _shared(one: ZoneSummary | None, other: ZoneSummary | None) -> tuple[float, str] | None:
    """The strongest trait of both, with the part of their fills that has it at least."""
    theirs = {fact.trait: fact.value for fact in _fallen_back_on(other)}
    both = [
        (min(fact.value, theirs[fact.trait]), fact.trait.words)
        for fact in _fallen_back_on(one)
        if fact.trait in theirs
    ]
    return max(both, default=None)


def _fallen_back_on(zone: ZoneSummary | None) -> list[Fact]:
    """What a student falls back on, as others may too: no amounts."""
    found = zone.facts if zone else ()
    return [fact for fact in found if fact.keeps_coming_back and not fact.trait.is_amount]
