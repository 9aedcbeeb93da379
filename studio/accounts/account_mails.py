"""Mails that say what pages must not: whether an address has an account.

A page keeps who asked, and answers everybody alike; a task looks the address up and sends one of
two mails, so that neither what is said nor how long it takes tells one address from another.
"""

from datetime import timedelta

from django.conf import settings
from django.contrib.auth.tokens import default_token_generator
from django.core import mail, signing
from django.db import transaction
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode

from studio.models import AccountMail, Teacher

_SALT = "studio.sign-up"
#: Seconds that a link in a mail is good; a mail that cannot be sent is given up after as long.
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
    """Send a mail that waits, and forget who asked. One that was sent meanwhile is no error."""
    with transaction.atomic():
        asked = AccountMail.objects.select_for_update().filter(pk=pk).first()
        if asked is None:
            return
        teacher = Teacher.objects.filter(email=asked.email, is_active=True).first()
        _deliver(asked, teacher)
        asked.delete()


def waiting() -> list[int]:
    """The mails that wait still; those that nobody could send for a day are given up."""
    too_old = timezone.now() - timedelta(seconds=GOOD_FOR)
    AccountMail.objects.filter(asked_at__lt=too_old).delete()
    return list(AccountMail.objects.values_list("pk", flat=True))


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
