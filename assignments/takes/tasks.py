"""The worker's jobs for takes. Each may run twice without harm.

Their names are what waiting messages and the beat hold: they stay where a module moves.
"""

from uuid import UUID

from celery import shared_task

from assignments.models import Take
from assignments.takes import take_analysis
from studio.task_queue import enqueue


@shared_task(name="assignments.tasks.look_at", acks_late=True)
def analyse_take(pk: str) -> None:
    """Analyse what was played in one take."""
    take_analysis.analyse_take(UUID(pk))


@shared_task(name="assignments.tasks.sweep_takes")
def sweep_takes() -> int:
    """Look at what still waits; returns how many wait."""
    waiting = list(Take.objects.overdue().values_list("pk", flat=True))
    Take.objects.ask_for(waiting)
    enqueue(analyse_take, waiting)
    return len(waiting)
