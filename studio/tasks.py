"""Where Celery finds the worker's jobs of this app, and the one that deletes what was removed."""

from celery import shared_task

from studio import removal_for_good
from studio.accounts.tasks import send_account_mail, send_waiting_mails

__all__ = ["delete_for_good", "send_account_mail", "send_waiting_mails"]


@shared_task(name="studio.tasks.delete_for_good")
def delete_for_good() -> int:
    """Delete what was removed long enough ago; returns how many things. May run twice."""
    return removal_for_good.delete_for_good()
