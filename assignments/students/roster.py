"""The roster: every student at a glance, those who need their teacher first."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cached_property
from typing import NamedTuple

from assignments import text
from assignments.comfort.comfort_zones import Comfort, comfort_zones_of
from assignments.comfort.way_out import flag_of, ways_out_under_way
from assignments.days import days_up_to, next_lesson
from assignments.models import Assignment
from assignments.progress.charts import Bars, bars
from assignments.progress.student_totals import NONE, StudentTotals, standings
from studio.models import Student, Studio
from studio.pagination import found_in

DAYS_SHOWN = 7
#: A student with a lesson a week who has not practised for this long comes to it unprepared.
LONG_AGO = 7


class Need(NamedTuple):
    """Something for the teacher to do: how urgent (0 first), why, and which page does it."""

    urgency: int
    sentence: str
    action: str
    page: str


@dataclass(frozen=True)
class RosterRow:
    """One student on the roster. What only a shown row needs is worked out when it is shown."""

    standing: StudentTotals
    days: Sequence[date]
    #: The most minutes of a day that any of the students practised.
    greatest: Decimal
    comfort: Comfort
    need: Need | None

    @property
    def student(self) -> Student:
        return self.standing.student

    @property
    def week(self) -> Bars:
        """The minutes of the days, on one scale for all, so that the eye may compare."""
        return bars(self.days, self.standing.minutes, least_top=self.greatest)

    @cached_property
    def next_lesson(self) -> date | None:
        return next_lesson(self.student, self.days[-1])

    @property
    def next_lesson_text(self) -> str:
        return text.upcoming(self.next_lesson, self.days[-1])

    @property
    def last_practised_text(self) -> str:
        return text.ago(self.standing.last_practised, self.days[-1])


def roster_of(studio: Studio, today: date, wanted: str = "") -> list[RosterRow]:
    """Return a row for each student of the studio, who needs the teacher first on top.

    With `wanted`, for those whose nickname has it in it. Nothing is worked out that would have
    to wait: what each row needs is kept ready, so a page may sort all and show a few.
    """
    days = days_up_to(today, DAYS_SHOWN)
    kept = Student.objects.kept().filter(studio=studio).with_working_links()
    students = found_in(kept, wanted, "nickname")
    standing = standings(students, days)
    zones, way_outs = comfort_zones_of(students, today), ways_out_under_way(students, today)
    greatest = max((minutes for one in standing for minutes in one.minutes), default=NONE)
    rows = [
        _row(one, days, greatest, ComfortFlag(zones[one.student], way_outs.get(one.student.pk)))
        for one in standing
    ]
    return sorted(rows, key=lambda row: _urgency(row, today))


class ComfortFlag(NamedTuple):
    """What a student's takes say, and the latest way out they were given."""

    comfort: Comfort
    way_out: Assignment | None

    def need(self, today: date) -> Need | None:
        """A way out, where they keep to the same and have none."""
        flag = flag_of(self.comfort, self.way_out, today)
        return Need(5, flag, "Draw a way out", "assignments:way-out") if flag else None


def _row(
    standing: StudentTotals, days: Sequence[date], greatest: Decimal, habit: ComfortFlag
) -> RosterRow:
    need = need_of(standing, days[-1]) or habit.need(days[-1])
    return RosterRow(standing, days, greatest, habit.comfort, need)


def need_of(standing: StudentTotals, today: date) -> Need | None:
    """Return the first thing there is to do about a student; they have `working_links`."""
    tally, last = standing.tally, standing.last_practised
    if not tally.assigned:
        return Need(0, "Nothing assigned yet.", "Assign the first fills", "assignments:assign")
    if not standing.student.working_links:
        return Need(1, "Cannot sign in: no link yet.", "Make a link", "studio:links")
    if tally.mastered == tally.assigned:
        return Need(2, _all_mastered(tally.assigned), "Assign new ones", "assignments:assign")
    if last is None:
        return Need(3, "Has not practised yet.", "", "")
    if (today - last).days >= LONG_AGO:
        return Need(4, f"No practice for {text.count((today - last).days, 'day')}.", "", "")
    return None


def _all_mastered(number: int) -> str:
    return "The one fill assigned is mastered." if number == 1 else f"All {number} are mastered."


def _urgency(row: RosterRow, today: date) -> tuple[bool, int, int, str]:
    """Sorts by what is to do, then by who comes next to a lesson."""
    wait = (row.next_lesson - today).days if row.next_lesson else DAYS_SHOWN
    urgency = row.need.urgency if row.need else 0
    return row.need is None, urgency, wait, row.student.nickname.casefold()
