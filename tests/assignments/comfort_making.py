"""Takes for tests: given stroke by stroke."""

from collections.abc import Sequence
from datetime import date, timedelta
from random import Random

from django.db import connection
from django.utils import timezone

from assignments.comfort.zone_changes import ChangeOfZones
from assignments.comfort.zone_making import refresh
from assignments.models import AssignedVariation, KeptZone, Take
from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.fill_spaces import engine_kit
from studio.models import Student

COUNTS = "1 e & a 2 e & a 3 e & a 4 e & a"
BAR = Bar.from_counts(COUNTS)
DAY = timedelta(days=1)


def walk_down() -> Fill:
    """Two beats on the snare, then down the toms."""
    snare, high, mid, floor = list(Surface)[:4]
    return fill_on([snare] * 8 + [high] * 2 + [mid] * 2 + [floor] * 4)


def anything(student: Student, random: Random) -> Fill:
    hands = engine_kit(student).hand_surfaces
    return fill_on([random.choice(hands) for _ in BAR.sounded])


def fill_on(surfaces: Sequence[Surface]) -> Fill:
    return Fill(BAR, tuple(Stroke(surface) for surface in surfaces))


def take_of(
    student: Student,
    day: date,
    fills: Sequence[Fill],
    variation: AssignedVariation | None = None,
    **details,
) -> Take:
    """A take as it is after the worker has looked at it."""
    return Take.objects.create(
        student=student,
        day=day,
        variation=variation,
        fills=[fill.to_json() for fill in fills],
        **{
            "source": Take.Source.LIVE,
            "seconds": 20,
            "state": Take.State.DONE,
            "analysed_at": timezone.now(),
            **details,
        },
    )


def look_at(student: Student) -> None:
    """What the worker does once something changed, and that is committed."""
    connection.run_on_commit = [
        waiting
        for waiting in connection.run_on_commit
        if not isinstance(getattr(waiting[1], "__self__", None), ChangeOfZones)
    ]
    KeptZone.objects.outdate([student.pk])
    refresh(student)


def fills_in(take: Take) -> list[Fill]:
    """The fills that were found in a take, as the engine knows them."""
    return [Fill.from_json(fill) for fill in take.fills]


def walks(student: Student, last: date, takes: int = 10, every: int = 3) -> list[Take]:
    """So many takes of one and the same fill, the last one on this day; looked at."""
    days = [last - number * every * DAY for number in range(takes)]
    kept = [take_of(student, day, [walk_down()] * 2) for day in days]
    look_at(student)
    return kept


def wide(student: Student, last: date, takes: int = 10, every: int = 3) -> list[Take]:
    """So many takes of anything; looked at."""
    random = Random(1)
    days = [last - number * every * DAY for number in range(takes)]
    kept = [take_of(student, day, [anything(student, random) for _ in range(2)]) for day in days]
    look_at(student)
    return kept
