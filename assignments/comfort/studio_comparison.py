"""The studio side by side: who keeps playing what, and where there is something to do."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import combinations
from typing import NamedTuple

from assignments.comfort.comfort_zones import Comfort, comfort_zones_of
from assignments.comfort.way_out import flag_of, is_under_way, latest_way_out
from assignments.days import days_up_to
from assignments.models import Assignment
from assignments.progress.student_totals import NONE, minutes_by_day
from rhythms.engine.comfort import Zone
from rhythms.engine.comfort.habits import MoveMade
from studio.models import Student, Studio

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
    way_out: Assignment | None
    today: date

    @property
    def zone(self) -> Zone | None:
        """Their comfort zone; None where too few takes tell."""
        return self.comfort.zone

    @property
    def typical_move(self) -> MoveMade | None:
        """The habit they make most often, one between two surfaces before one that stays."""
        habits = self.zone.habits if self.zone else ()
        moving = [move for move in habits if move.origin != move.target]
        return next(iter([*moving, *habits]), None)

    @property
    def way_out_is_under_way(self) -> bool:
        """Whether one was given so lately that it has not had its time."""
        return is_under_way(self.way_out, self.today)

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


def compare_students(studio: Studio, today: date) -> list[ComparisonRow]:
    """Return a row for each student, unordered; as many queries for a hundred as for one."""
    students = list(Student.objects.kept().filter(studio=studio).select_related("kit", "studio"))
    minutes = minutes_by_day(students, days_up_to(today, DAYS_OF_MINUTES))
    zones, given = comfort_zones_of(students, today), latest_way_out(students)
    return [
        ComparisonRow(
            student,
            sum(minutes[student.pk].values(), NONE),
            zones[student],
            given.get(student.pk),
            today,
        )
        for student in students
    ]


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
    return row.zone.variety.value / row.zone.room if row.zone else 0.0


def pairs(rows: Sequence[ComparisonRow]) -> list[Pair]:
    """Return which two students have a habit in common, those of most of the time first."""
    found = []
    for one, other in combinations([row for row in rows if row.zone], 2):
        if shared := _shared(one.zone, other.zone):
            found.append((shared[0], Pair(one.student, other.student, shared[1])))
    found.sort(key=lambda pair: (-pair[0], pair[1].one.nickname.casefold()))
    return [pair for _, pair in found[:MOST_PAIRS]]


def _shared(one: Zone | None, other: Zone | None) -> tuple[float, str] | None:
    """The strongest trait of both, with the part of their time it has at least."""
    if one is None or other is None:
        return None
    theirs = {standout.trait: standout.share for standout in other.standouts}
    both = [
        (min(standout.share, theirs[standout.trait]), standout.trait.words)
        for standout in one.standouts
        if standout.trait in theirs
    ]
    return max(both, default=None)
