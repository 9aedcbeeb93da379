"""The worker's job for comfort zones."""

from celery import shared_task

from assignments.comfort.comfort_zones import comfort_zones_of
from assignments.days import today_in
from studio.models import Student, Studio


@shared_task(name="assignments.tasks.look_at_comfort_zones")
def refresh_comfort_zones() -> int:
    """Have the comfort zones of the day ready before anybody asks; returns how many students."""
    looked_at = 0
    for studio in Studio.objects.all():
        students = Student.objects.kept().filter(studio=studio).select_related("kit", "studio")
        looked_at += len(comfort_zones_of(students, today_in(studio)))
    return looked_at
