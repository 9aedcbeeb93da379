"""The worker's jobs for reminders. Each may run twice: nobody is reminded twice.

Their names are what waiting messages and the beat hold: they stay where a module moves.
"""

from celery import shared_task
from django.utils import timezone

from assignments.reminders import sending
from studio.task_queue import enqueue


@shared_task(name="assignments.tasks.send_reminder")
def send_reminder(pk: str) -> None:
    """Remind one student."""
    sending.remind(int(pk))


@shared_task(name="assignments.tasks.send_reminders")
def send_reminders() -> None:
    """Remind all who are to be reminded now, each by itself."""
    sending.forget_ended()
    enqueue(send_reminder, [reminder.pk for reminder in sending.due(timezone.now())])
