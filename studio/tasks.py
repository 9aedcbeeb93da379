"""Where Celery finds the worker's jobs of this app, and the sweeps."""

from celery import shared_task

from studio import sweeping
from studio.accounts.tasks import send_account_mail, send_waiting_mails
from studio.models import LastSweep
from studio.task_queue import enqueue

__all__ = ["send_account_mail", "send_waiting_mails", "sweep", "sweep_all"]


@shared_task(name=sweeping.TASK)
def sweep(path: str) -> None:
    """Sweep by one of what is registered; while this is asked for, no page asks for all."""
    LastSweep.claim(sweeping.EVERY / 2)
    sweeping.run(path)


@shared_task(name="studio.tasks.sweep_all")
def sweep_all() -> None:
    """Have all of it swept, each by itself: one that fails holds up no other."""
    enqueue(sweep, sweeping.registered())
