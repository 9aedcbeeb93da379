"""Fills as the planner has them, from what is in a student's log."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from typing import NamedTuple

from assignments.easier_fill import keeps_rules
from assignments.mastery import came_out_clean, mastery_status
from assignments.models import AssignedVariation, MasteryEvent, PracticeEntry
from assignments.planner.history import Piece, Sitting, records
from assignments.planner.tempo import next_tempo
from studio.models import Student


class Tempos(NamedTuple):
    """Of a fill: what was asked for, the highest that came out clean, and what today's plan says.

    `reached` is None before anything came out clean.
    """

    asked: int
    reached: int | None
    today: int


def tempos_of(student: Student, fill: AssignedVariation, day: date) -> Tempos:
    """Return the fill's tempos on the day; two queries."""
    piece = piece_of(fill, student, mastered_before([fill], day))
    sittings = sittings_of(student, day, [fill])
    [record] = records([replace(piece, given_on=min(piece.given_on, day))], sittings, day)
    clean = (one.tempo for one in sittings if one.tempo and _came_out(one) and not one.easier)
    return Tempos(fill.assignment.tempo, max(clean, default=None), next_tempo(record))


def _came_out(sitting: Sitting) -> bool:
    loops, clean = sitting.loops, sitting.clean_loops
    return loops is not None and clean is not None and came_out_clean(loops, clean)


def piece_of(
    fill: AssignedVariation, student: Student, mastered_on: Mapping[int, date | None]
) -> Piece:
    """Return the fill as the planner has it; `mastered_on` is by pk."""
    assignment = fill.assignment
    return Piece(
        fill.pk,
        fill.as_fill,
        assignment.block_bars,
        assignment.tempo,
        assignment.created_at.astimezone(student.studio.zone).date(),
        top=fill.top_tempo,
        mastered_on=mastered_on.get(fill.pk),
        keeps_rules=partial(keeps_rules, fill),
    )


def mastered_before(fills: Sequence[AssignedVariation], day: date) -> dict[int, date | None]:
    """Return since when each was mastered when the day began."""
    events = MasteryEvent.objects.kept().filter(variation__in=fills, day__lt=day)
    of_each: defaultdict[int, list[MasteryEvent]] = defaultdict(list)
    for event in events:
        of_each[event.variation_id].append(event)
    return {pk: mastery_status(steps).mastered_on for pk, steps in of_each.items()}


def sittings_of(
    student: Student, day: date, fills: Sequence[AssignedVariation] | None = None
) -> list[Sitting]:
    """Return what the log says of all the student's fills, or of these, by day."""
    entries = PracticeEntry.objects.kept().filter(
        student=student, variation__isnull=False, day__lte=day
    )
    entries = entries if fills is None else entries.filter(variation__in=fills)
    names = ("variation", "day", "tempo", "loops", "clean_loops", "felt", "recheck", "easier")
    return [
        Sitting(*values) for values in entries.order_by("day", "created_at").values_list(*names)
    ]
