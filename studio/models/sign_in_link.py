"""Personal links by which students sign in."""

import hashlib
import secrets
from datetime import datetime, timedelta
from typing import Self

from django.db import models
from django.db.models import Q
from django.utils import timezone

from studio.models.student import Student, link_in_use
from studio.retention import LINK_REMEMBERED_FOR, LINK_UNUSED_FOR

SECRET_BYTES = 32
# "Last used" is shown by the day; writing it at every request would only wear out the disk.
USE_IS_NOTED_EVERY = timedelta(hours=1)


class SignInLinkQuerySet(models.QuerySet["SignInLink"]):
    def working(self) -> Self:
        """Return links that sign somebody in: in use, not revoked, of students not removed."""
        return self._standing().filter(link_in_use())

    def ended(self) -> Self:
        """Return links that nobody used for so long that they ended; their page says so."""
        return self._standing().exclude(link_in_use())

    def forgettable(self) -> Self:
        """Return links that ended, or were revoked, so long ago that nobody will ask why."""
        long_ago = timezone.now() - LINK_REMEMBERED_FOR
        unused = long_ago - LINK_UNUSED_FOR
        never_used = Q(last_used_at=None, created_at__lt=unused)
        return self.filter(Q(revoked_at__lt=long_ago) | Q(last_used_at__lt=unused) | never_used)

    def _standing(self) -> Self:
        return self.filter(revoked_at=None, student__removed_at=None)


class SignInLink(models.Model):
    """Only the hash of the secret is kept: who reads the database cannot sign in with it.

    A plain SHA-256 is enough, since the secret is random and long, not chosen by a person.
    """

    student = models.ForeignKey(Student, on_delete=models.CASCADE, related_name="sign_in_links")
    secret_hash = models.CharField(max_length=64, unique=True, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)
    revoked_at = models.DateTimeField(null=True, blank=True, editable=False)
    last_used_at = models.DateTimeField(null=True, blank=True, editable=False)

    objects = SignInLinkQuerySet.as_manager()

    STUDIO_PATH = "student__studio"

    class Meta:
        ordering = ["-created_at", "-pk"]

    def __str__(self) -> str:
        return f"link of {self.student}, made {self.created_at:%Y-%m-%d}"

    @classmethod
    def issue(cls, student: Student) -> str:
        """Make a link for the student and return its secret, which is kept nowhere else."""
        secret = secrets.token_urlsafe(SECRET_BYTES)
        cls.objects.create(student=student, secret_hash=_hash(secret))
        return secret

    @classmethod
    def for_secret(cls, secret: str) -> "SignInLink | None":
        """Return the working link with this secret, or None."""
        working = cls.objects.working().select_related("student__studio")
        return working.filter(secret_hash=_hash(secret)).first()

    @classmethod
    def has_ended(cls, secret: str) -> bool:
        """Whether this secret is that of a link that ended since nobody used it."""
        return cls.objects.ended().filter(secret_hash=_hash(secret)).exists()

    @property
    def ends_at(self) -> datetime:
        """When this ends unless it is used before."""
        return (self.last_used_at or self.created_at) + LINK_UNUSED_FOR

    def revoke(self) -> None:
        """Stop the link from working, at once and on every device; a second time does nothing."""
        if self.revoked_at is None:
            self.revoked_at = timezone.now()
            self.save(update_fields=["revoked_at"])

    def note_use(self) -> None:
        """Note that the link is in use, at most once an hour."""
        now = timezone.now()
        long_ago = now - USE_IS_NOTED_EVERY
        if self.last_used_at is None or self.last_used_at < long_ago:
            self.last_used_at = now
            self.save(update_fields=["last_used_at"])


def _hash(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()
