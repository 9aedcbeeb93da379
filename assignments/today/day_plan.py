"""The practice plan of a student's day, from what is in their log."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date

from assignments.fill_queries import fills_of
from assignments.models import AssignedVariation
from assignments.planned_pieces import mastered_before, piece_of, sittings_of
from assignments.planner.easier import Easier, easier
from assignments.planner.history import Sitting, records
from assignments.planner.plan import Plan, make_plan
from assignments.planner.stuck import FEWEST_DAYS, TWO_WEEKS
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


def eased_today(
    student: Student, fills: Sequence[AssignedVariation], day: date
) -> list[tuple[AssignedVariation, Easier]]:
    """Return those of which plans of the day have a simpler one, with that.

    One query, and some more where there are any that were practised for two weeks.
    """
    sittings = sittings_of(student, day)
    lasting = {pk for pk, days in _days(sittings).items() if _may_be_stuck(days, day)}
    names = {fill.pk: fill for fill in fills if fill.pk in lasting and not fill.mastered_at}
    if not names:
        return []
    whole = list(fills_of(student).filter(pk__in=names))  # those of a list leave much out
    mastered_on = mastered_before(whole, day)
    pieces = [piece_of(fill, student, mastered_on) for fill in whole]
    found = ((one.piece.id, easier(one, day)) for one in records(pieces, sittings, day))
    return [(names[pk], simpler) for pk, simpler in found if simpler]


def _days(sittings: Sequence[Sitting]) -> dict[int, list[date]]:
    """The days on which each was played, in order."""
    days: defaultdict[int, list[date]] = defaultdict(list)
    for sitting in sittings:
        days[sitting.piece].append(sitting.day)
    return days


def _may_be_stuck(days: Sequence[date], day: date) -> bool:
    return day - days[0] >= TWO_WEEKS >= day - days[-1] and len(set(days)) > FEWEST_DAYS
