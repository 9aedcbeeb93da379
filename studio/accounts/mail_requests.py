"""Asking for a mail about an account: the same work, whoever's address it is."""

from django.conf import settings
from django.http import HttpRequest

from studio import task_queue
from studio.accounts.tasks import send_account_mail
from studio.models import AccountMail

_HERE = {"127.0.0.1", "::1"}


def sends_mail() -> bool:
    """Whether mail goes out; otherwise it is printed where the site runs."""
    return bool(settings.EMAIL_HOST)


def is_own_machine(request: HttpRequest) -> bool:
    """Whether who asks sits at the machine that the site runs on, with nobody else.

    They could read the database: there is nothing to hide from them, and no mail to prove.
    """
    alone = settings.DEBUG and not settings.PROXIES and not sends_mail()
    return alone and request.META.get("REMOTE_ADDR") in _HERE


def ask_for_mail(about: AccountMail.About, email: str, request: HttpRequest) -> None:
    """Have a mail sent to this address, once the request is through.

    Where its mailbox has had enough nothing is sent; who asks hears nothing of that.
    """
    if asked := AccountMail.ask(about, email, f"{request.scheme}://{request.get_host()}"):
        task_queue.enqueue_on_commit(send_account_mail, [asked.pk])
