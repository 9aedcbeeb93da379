"""The fills that a student has: all, by state, and those before and after one."""

from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import groupby
from operator import attrgetter
from typing import NamedTuple

from django.db.models import Prefetch

from assignments.models import AssignedVariation
from assignments.models.variation import State, VariationQuerySet
from studio.models import Student
from studio.removal import RemovableQuerySet

#: What was mastered longer ago is not what anybody played just now.
MOST_TO_CHOOSE = 100
_MASTERED = (State.MASTERED, State.HOLDS)


def with_fills(entries: RemovableQuerySet) -> RemovableQuerySet:
    """Give each entry its `variation` with its full name; one query more."""
    fills = AssignedVariation.objects.select_related("assignment", "rendering")
    return entries.prefetch_related(Prefetch("variation", fills))


def fills_of(student: Student) -> VariationQuerySet:
    """Return all fills that the student has, with their practice, in playing order."""
    return AssignedVariation.objects.kept().of(student).with_practice().in_playing_order()


def fills_to_choose(
    student: Student, chosen: AssignedVariation | None = None
) -> list[AssignedVariation]:
    """Return the fills of a select, those not mastered first; `chosen` is among them."""
    theirs = AssignedVariation.objects.kept().filter(assignment__student=student)
    named = theirs.select_related("assignment").for_lists()
    fills = list(named.open_first()[:MOST_TO_CHOOSE])
    return fills if chosen is None or chosen in fills else [chosen, *fills]


def by_state(fills: Sequence[AssignedVariation]) -> list[tuple[State, list[AssignedVariation]]]:
    """Return the fills of each state, new ones first; of those mastered, the latest first."""
    found = {state: [fill for fill in fills if fill.state == state] for state in State}
    for state in _MASTERED:
        found[state].sort(key=attrgetter("mastered_at"), reverse=True)
    return list(found.items())


class StateGroup(NamedTuple):
    """The fills of one state that a page of them shows, and how many there are in all."""

    state: State
    fills: list[AssignedVariation]
    total: int


def groups_on(
    page: Iterable[AssignedVariation], all_of: Sequence[AssignedVariation]
) -> list[StateGroup]:
    """Return a page of fills in their states; it is cut from `in_order(all_of)`."""
    totals = Counter(fill.state for fill in all_of)
    return [
        StateGroup(state, list(fills), totals[state])
        for state, fills in groupby(page, key=attrgetter("state"))
    ]


def in_order(fills: Sequence[AssignedVariation]) -> list[AssignedVariation]:
    """Return the fills state after state, as `by_state` has them."""
    return [fill for _, some in by_state(fills) for fill in some]


def beside(
    student: Student, fill: AssignedVariation
) -> tuple[AssignedVariation | None, AssignedVariation | None]:
    """Return the fills before and after this one among those that are not mastered."""
    open_or_this = [
        other
        for other in fills_of(student).for_lists()
        if other == fill or other.mastered_at is None
    ]
    at = open_or_this.index(fill)
    before = open_or_this[at - 1] if at else None
    return before, next(iter(open_or_this[at + 1 :]), None)
