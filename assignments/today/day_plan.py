"""The practice plan of a student's day, from what is in their log."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date

from assignments.fill_queries import fills_of
from assignments.mastery import mastery_status
from assignments.models import AssignedVariation, MasteryEvent, PracticeEntry
from assignments.planner.history import Piece, Sitting
from assignments.planner.plan import Plan, make_plan
from studio.models import Student

MINUTES = 5


def plan(student: Student, day: date, minutes: int = MINUTES) -> Plan:
    """Return what the student is to play on the day; three queries.

    It depends on nothing but what the student has, what happened before the day, and what was
    begun on it. Raises ValueError for minutes that no plan is made for.
    """
    return plan_of(student, list(fills_of(student)), day, minutes)


def plan_of(
    student: Student, fills: Sequence[AssignedVariation], day: date, minutes: int = MINUTES
) -> Plan:
    """Like `plan`, for fills that were fetched already; two queries."""
    mastered_on = _mastered_before(fills, day)
    pieces = [_piece(fill, student, mastered_on) for fill in fills]
    mixed = student.mixing == Student.Mixing.MIXED
    return make_plan(pieces, _sittings(student, day), day, minutes, mixed=mixed)


def _piece(
    fill: AssignedVariation, student: Student, mastered_on: Mapping[int, date | None]
) -> Piece:
    assignment = fill.assignment
    return Piece(
        fill.pk,
        fill.as_fill,
        assignment.block_bars,
        assignment.tempo,
        assignment.created_at.astimezone(student.studio.zone).date(),
        top=fill.top_tempo,
        mastered_on=mastered_on.get(fill.pk),
    )


def _mastered_before(fills: Sequence[AssignedVariation], day: date) -> dict[int, date | None]:
    """Return since when each was mastered when the day began."""
    events = MasteryEvent.objects.kept().filter(variation__in=fills, day__lt=day)
    of_each: defaultdict[int, list[MasteryEvent]] = defaultdict(list)
    for event in events:
        of_each[event.variation_id].append(event)
    return {pk: mastery_status(steps).mastered_on for pk, steps in of_each.items()}


def _sittings(student: Student, day: date) -> list[Sitting]:
    entries = PracticeEntry.objects.kept().filter(
        student=student, variation__isnull=False, day__lte=day
    )
    names = ("variation", "day", "tempo", "loops", "clean_loops", "felt", "recheck")
    return [
        Sitting(*values) for values in entries.order_by("day", "created_at").values_list(*names)
    ]
