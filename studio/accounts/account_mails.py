"""Mails that say what pages must not: whether an address has an account.

A page keeps who asked, and answers everybody alike; a task looks the address up and sends one of
two mails, so that neither what is said nor how long it takes tells one address from another.
"""

import logging
from smtplib import SMTPDataError, SMTPRecipientsRefused

from django.conf import settings
from django.contrib.auth.tokens import default_token_generator
from django.core import mail, signing
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode

from studio.circuit_breaker import CircuitBreaker
from studio.models import AccountMail, Teacher

logger = logging.getLogger(__name__)
breaker = CircuitBreaker("mail server", rest=60.0)

_SALT = "studio.sign-up"
#: From this code of SMTP on it will not take that mail the next time either.
_FOR_GOOD = 500
#: Seconds that a link in a mail is good.
GOOD_FOR = settings.PASSWORD_RESET_TIMEOUT


def opening_token(email: str) -> str:
    """What proves for a day that somebody reads the mail of this address."""
    return signing.dumps(email, salt=_SALT)


def email_of(token: str) -> str | None:
    """The address that the token was made for; None where it is too old, or none of ours."""
    try:
        email: str = signing.loads(token, salt=_SALT, max_age=GOOD_FOR)
    except signing.BadSignature:
        return None
    return email


def send(pk: int) -> None:
    """Send a mail that waits, and forget who asked. One that was sent meanwhile is no error.

    While the mail server is away it goes on waiting: the queue has more to do than to wait for it.
    """
    if breaker.is_open or not (asked := AccountMail.take(pk)):
        return
    teacher = Teacher.objects.filter(email=asked.email, is_active=True).first()
    try:
        _deliver(asked, teacher)
    except (SMTPRecipientsRefused, SMTPDataError) as error:  # the others may pass
        codes = _codes(error)
        logger.warning("A mail was not taken: %s %s", type(error).__name__, codes)
        if min(codes) >= _FOR_GOOD:
            asked.done()
    except OSError as error:  # those of smtplib as well
        breaker.note_failure(error)
    else:
        breaker.note_success()
        asked.done()


def waiting() -> list[int]:
    """The mails that wait still; those that nobody could send for a day are given up."""
    AccountMail.objects.old().delete()
    return list(AccountMail.objects.waiting().values_list("pk", flat=True))


def _codes(error: SMTPRecipientsRefused | SMTPDataError) -> list[int]:
    """What the mail server said of each recipient, or of the content."""
    if isinstance(error, SMTPDataError):
        return [error.smtp_code]
    return [code for code, _ in error.recipients.values()]


def _deliver(asked: AccountMail, teacher: Teacher | None) -> None:
    name = f"{asked.about}_{'known' if teacher else 'unknown'}".replace("-", "_")
    words = {
        "email": asked.email,
        "site": asked.site,
        "open_studio": reverse("studio:open-studio", args=[opening_token(asked.email)]),
        "new_password": _new_password(teacher) if teacher else "",
    }
    subject, _, body = render_to_string(f"studio/accounts/mail/{name}.txt", words).partition("\n")
    mail.send_mail(subject, body.lstrip(), None, [asked.email])


def _new_password(teacher: Teacher) -> str:
    uid = urlsafe_base64_encode(force_bytes(teacher.pk))
    return reverse("studio:new-password", args=[uid, default_token_generator.make_token(teacher)])
