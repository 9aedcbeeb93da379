"""My fills: what a student has mastered, and what has changed."""

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from assignments import text
from assignments.fill_pictures import with_pictures
from assignments.fill_queries import StateGroup, fills_of, groups_on, in_order, with_fills
from assignments.models import AssignedVariation, PracticeEntry, Take
from assignments.models.variation import State
from assignments.progress.practice_calendar import DayCell, days_of_strip, strip
from assignments.progress.student_totals import minutes_by_day
from studio.models import Student
from studio.pagination import ListPage, is_in, page_of, wanted_in
from studio.request_types import StudentRequest

FILLS_A_PAGE = 40
#: From so many fills on they can be searched.
MANY = 20
#: Of takes and of saved practice, the latest.
LATEST = 5
_MASTERED = (State.MASTERED, State.HOLDS)


class FillGathering(NamedTuple):
    """All that the page shows; `page` is of both `now` and `mastered`."""

    sentence: str
    page: ListPage
    now: list[AssignedVariation]
    mastered: list[StateGroup]
    weeks: list[list[DayCell]]
    takes: list[Take]
    entries: list[PracticeEntry]
    wanted: str
    is_long: bool


def fill_gathering(request: StudentRequest, today: date) -> FillGathering:
    """What this page of it shows; as many queries for many fills as for few."""
    student, wanted = request.student, wanted_in(request)
    fills = list(fills_of(student).for_lists())
    found = [fill for fill in fills if is_in(wanted, str(fill), fill.assignment.bar_name)]
    page = page_of(request, in_order(found) if wanted else in_order(fills), lines=FILLS_A_PAGE)
    with_pictures(page)
    groups = groups_on(page, found)
    return FillGathering(
        how_many(fills, today, student),
        page,
        [fill for group in groups if group.state not in _MASTERED for fill in group.fills],
        [group for group in groups if group.state in _MASTERED],
        strip(minutes_by_day([student], days_of_strip(today))[student.pk], today),
        list(Take.objects.of(student).select_related("variation__assignment")[:LATEST]),
        list(with_fills(PracticeEntry.objects.kept().filter(student=student))[:LATEST]),
        wanted,
        len(fills) >= MANY,
    )


def how_many(fills: Sequence[AssignedVariation], today: date, student: Student) -> str:
    """`12 fills, 3 new since September. 5 mastered.`; "" for none."""
    if not fills:
        return ""
    month = (today.month - 3) % 12 + 1
    since = date(today.year - (today.month < 3), month, 1)
    zone = student.studio.zone
    new = sum(one.assignment.created_at.astimezone(zone).date() >= since for one in fills)
    mastered = sum(one.mastered_at is not None for one in fills)
    lately = f", {new} new since {since:%B}" if 0 < new < len(fills) else ""
    held = f" {mastered} mastered." if mastered else ""
    return f"{text.count(len(fills), 'fill')}{lately}.{held}"
