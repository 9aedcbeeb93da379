"""Mails about accounts, sent by the worker."""

from celery import shared_task

from studio.accounts import account_mails
from studio.task_queue import enqueue


@shared_task(name="studio.tasks.send_account_mail")
def send_account_mail(pk: str) -> None:
    """Send one; where the mail server is away it waits for the next sweep."""
    account_mails.send(int(pk))


@shared_task(name="studio.tasks.send_waiting_mails")
def send_waiting_mails() -> None:
    """Try again what could not be sent, each by itself."""
    enqueue(send_account_mail, account_mails.waiting())
