"""Which grooves students work with, for the pages that offer them first."""

from collections.abc import Iterable

from assignments.models.student_groove import StudentGroove
from rhythms.engine.playback.groove import Groove, GrooveError
from rhythms.engine.playback.groove_library import pattern_named
from rhythms.grooves.groove_list import ListedGroove
from studio.models import Student


def grooves_of(students: Iterable[int]) -> dict[int, list[ListedGroove]]:
    """Return the grooves of each student, by the student's pk, as chosen; one query.

    What was removed from the studio's library, or is no longer in the program's, is left out.
    """
    found: dict[int, list[ListedGroove]] = {pk: [] for pk in students}
    rows = StudentGroove.objects.filter(student__in=found, groove__removed_at=None)
    for row in rows.select_related("groove"):
        if listed := _listed(row):
            found[row.student_id].append(listed)
    return found


def _listed(row: StudentGroove) -> ListedGroove | None:
    if row.groove:
        return ListedGroove.own(row.groove)
    try:
        return ListedGroove(pattern_named(row.name))
    except GrooveError:
        return None


def played_by(student: Student) -> list[Groove]:
    """Return what the student's player offers to change to, whatever the meter."""
    return [listed.pattern.groove for listed in grooves_of([student.pk])[student.pk]]


def set_grooves(student: Student, chosen: Iterable[ListedGroove]) -> None:
    """Have the student work with these grooves and no others, in this order."""
    wanted = list(chosen)
    StudentGroove.objects.filter(student=student).delete()
    StudentGroove.objects.bulk_create(
        StudentGroove(student=student, groove_id=one.pk)
        if one.pk
        else StudentGroove(student=student, name=one.pattern.name)
        for one in wanted
    )
