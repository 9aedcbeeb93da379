"""The worker's jobs for comfort zones. Each may run twice without harm.

A zone that was made is kept at once, so a job that is killed half-way goes on where it stopped.
"""

import logging
from collections.abc import Sequence
from time import monotonic

from celery import shared_task

from assignments.comfort.zone_making import refresh, students_outdated
from studio.models import Student, Studio

logger = logging.getLogger(__name__)

#: One message makes the zones of so many students, and goes on for so many seconds at most: well
#: within what any task may take.
MOST_STUDENTS, MOST_SECONDS = 25, 40.0


@shared_task(name="assignments.tasks.look_at_comfort_zones")
def refresh_comfort_zones() -> int:
    """Have each studio's comfort zones of the day made; returns for how many students."""
    outdated = {studio.pk: len(students_outdated(studio)) for studio in Studio.objects.all()}
    for pk, students in outdated.items():
        if students:
            refresh_studio.delay(str(pk))
    return sum(outdated.values())


@shared_task(name="assignments.tasks.look_at_comfort_zones_of", acks_late=True)
def refresh_studio(pk: str, after: int = 0) -> None:
    """Make the next outdated zones of a studio, of students after this pk; then ask for the rest.

    One that cannot be made stops no other: it is tried again with the next round.
    """
    studio = Studio.objects.filter(pk=pk).first()
    if studio is None:
        return
    waiting = [student for student in students_outdated(studio) if student > after]
    made = _refreshed_of(waiting, MOST_SECONDS)
    if made < len(waiting):
        refresh_studio.delay(pk, waiting[made - 1])


@shared_task(name="assignments.tasks.look_at_comfort_zone", acks_late=True)
def refresh_comfort_zone(pk: str) -> None:
    """Make one student's zone, unless it is current."""
    _refreshed(int(pk))


def refresh_some(studio: Studio, seconds: float) -> tuple[int, int]:
    """Make outdated zones of a studio at once, for about so long; returns how many, and the rest.

    For a studio without a worker, where somebody asks for them.
    """
    waiting = students_outdated(studio)
    made = _refreshed_of(waiting, seconds)
    return made, len(waiting) - made


def _refreshed_of(students: Sequence[int], seconds: float) -> int:
    """Make the first of these zones, as many as there is time for but at least one."""
    began = monotonic()
    for made, pk in enumerate(students[:MOST_STUDENTS]):
        if made and monotonic() - began > seconds:
            return made
        _refreshed(pk)
    return min(len(students), MOST_STUDENTS)


def _refreshed(pk: int) -> None:
    student = Student.objects.kept().filter(pk=pk).select_related("kit", "studio").first()
    if student is None:
        return
    try:
        refresh(student)
    except Exception:
        logger.exception("The comfort zone of student %s was not made", pk)
