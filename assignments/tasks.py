"""The worker's jobs of this app. Each may run twice without harm."""

from uuid import UUID

from celery import shared_task

from assignments import understanding
from assignments.comfort.zones import comforts
from assignments.days import today_in
from assignments.models import Take
from studio.models import Student, Studio


@shared_task(acks_late=True)
def look_at(pk: str) -> None:
    """Make out what was played in one take."""
    understanding.understand(UUID(pk))


@shared_task
def sweep_takes() -> int:
    """Look at what still waits, and delete what was removed for good; returns how many wait."""
    understanding.purge()
    waiting = list(Take.objects.overdue().values_list("pk", flat=True))
    Take.objects.ask_for(waiting)
    for pk in waiting:
        look_at.delay(str(pk))
    return len(waiting)


@shared_task
def look_at_comfort_zones() -> int:
    """Have the comfort zones of the day ready before anybody asks; returns how many students."""
    looked_at = 0
    for studio in Studio.objects.all():
        students = Student.objects.kept().filter(studio=studio).select_related("kit", "studio")
        looked_at += len(comforts(students, today_in(studio)))
    return looked_at
