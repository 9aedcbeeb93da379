"""Mails about accounts that were asked for, and how often."""

from datetime import timedelta
from typing import Self

from django.db import models
from django.db.models import F, Q
from django.utils import timezone
from django.utils.crypto import salted_hmac

from studio.elapsed import long_ago
from studio.retention import ACCOUNT_MAIL_REMEMBERED_FOR
from studio.row_limits import Limits, allowed_again, counted

#: A mailbox gets so many, whoever asks and from wherever.
LIMITS: Limits = {timedelta(hours=1): 5, timedelta(days=1): 20}
#: Whoever began to send one has ended by then, or was ended: no task takes longer.
TRIED_FOR = timedelta(minutes=3)
#: By then a second try has been made.
SENT_WITHIN = timedelta(minutes=10)


class AccountMailQuerySet(models.QuerySet["AccountMail"]):
    def waiting(self) -> Self:
        """Return those that nobody is sending now; what was refused last comes last."""
        free = Q(tried_at=None) | long_ago("tried_at", TRIED_FOR)
        in_turn = self.filter(free, sent_at=None)
        return in_turn.order_by(F("tried_at").asc(nulls_first=True), "pk")

    def overdue(self) -> Self:
        """Return those that should have been sent by now."""
        return self.filter(long_ago("asked_at", SENT_WITHIN), sent_at=None)

    def old(self) -> Self:
        """Return those that count no more; one that still waits is given up."""
        return self.filter(long_ago("asked_at", ACCOUNT_MAIL_REMEMBERED_FOR))


class AccountMail(models.Model):
    """One who asked for a mail. Once it is sent, who asked is known by a hash alone, for a day.

    It says nothing of whether there is an account: whoever sends the mail looks that up, so that
    asking costs the same work for every address.
    """

    class About(models.TextChoices):
        SIGN_UP = "sign-up", "Opening a studio"
        FORGOTTEN = "forgotten", "A forgotten password"

    about = models.CharField(max_length=9, choices=About.choices)
    email = models.EmailField("e-mail", blank=True)
    site = models.TextField(blank=True, help_text="Where it was asked: scheme and host.")
    #: With a default of the database: what runs while it is upgraded leaves this out.
    mailbox = models.CharField(max_length=64, db_index=True, db_default="", editable=False)
    asked_at = models.DateTimeField(auto_now_add=True)
    tried_at = models.DateTimeField(null=True, editable=False)
    sent_at = models.DateTimeField(null=True, editable=False)

    objects = AccountMailQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"mail about {self.get_about_display().lower()}"

    @classmethod
    def ask(cls, about: About, email: str, site: str) -> "AccountMail | None":
        """Keep that somebody asks; None where this mailbox has had enough for now."""
        mailbox = mailbox_of(email)
        lately = counted(cls.objects.filter(mailbox=mailbox), "asked_at", LIMITS)
        if allowed_again(lately.values_list("asked_at", flat=True), LIMITS):
            return None
        return cls.objects.create(about=about, email=email, site=site, mailbox=mailbox)

    @classmethod
    def take(cls, pk: int) -> "AccountMail | None":
        """Return one that waits, for its mail to be sent; of two who ask at once one gets it."""
        taken = cls.objects.waiting().filter(pk=pk).order_by().update(tried_at=timezone.now())
        return cls.objects.get(pk=pk) if taken else None

    def done(self) -> None:
        """It is sent, or never will be: forget who asked."""
        mail = AccountMail.objects.filter(pk=self.pk)
        mail.update(email="", site="", sent_at=timezone.now())


def mailbox_of(email: str) -> str:
    """A hash of whose mail it is, of no use without our secret key.

    What stands after a plus sign tells mails apart, not mailboxes.
    """
    name, _, host = email.rpartition("@")
    whose = f"{name.partition('+')[0]}@{host}"
    return salted_hmac("studio.account-mail", whose, algorithm="sha256").hexdigest()
