"""The practice plan of a student's day, from what is in their log."""

from collections.abc import Sequence
from datetime import date

from assignments.fill_queries import fills_of
from assignments.models import AssignedVariation
from assignments.planned_pieces import mastered_before, piece_of, sittings_of
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
    mastered_on = mastered_before(fills, day)
    pieces = [piece_of(fill, student, mastered_on) for fill in fills]
    mixed = student.mixing == Student.Mixing.MIXED
    return make_plan(pieces, sittings_of(student, day), day, minutes, mixed=mixed)
