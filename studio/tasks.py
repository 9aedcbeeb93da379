"""Where Celery finds the worker's jobs of this app."""

from studio.accounts.tasks import send_account_mail, send_waiting_mails

__all__ = ["send_account_mail", "send_waiting_mails"]
