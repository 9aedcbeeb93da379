"""What was gained this week, as it stands in a student's log."""

from collections.abc import Iterable
from datetime import date

from assignments.models import AssignedVariation, PracticeEntry
from assignments.today.week_gains import FillStanding, PlayedEntry, week_gains
from studio.models import Student


def gained(student: Student, fills: Iterable[AssignedVariation], day: date) -> str:
    """Return the week's sentence (see `week_gains`) for these fills of the student; one query."""
    entries = (
        PracticeEntry.objects.kept().filter(student=student, day__lte=day, easier=False).order_by()
    )
    names = ("variation", "day", "minutes", "tempo", "loops", "clean_loops")
    played = [PlayedEntry(*values) for values in entries.values_list(*names)]
    return week_gains(played, {fill.pk: _standing(fill, student) for fill in fills}, day)


def _standing(fill: AssignedVariation, student: Student) -> FillStanding:
    zone = student.studio.zone
    mastered, held = (at and at.astimezone(zone).date() for at in (fill.mastered_at, fill.held_at))
    return FillStanding(str(fill), mastered, held)
