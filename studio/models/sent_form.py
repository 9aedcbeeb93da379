"""Forms whose work is done, so that a second click does not do it again."""

from django.db import models
from django.utils import timezone

from studio.models.teacher import Teacher


class SentForm(models.Model):
    """What a teacher sent from one page, by its digest; `address` and `said` are what came of it.

    The digest is the primary key: of two requests at once the database lets one do the work.
    """

    digest = models.CharField(max_length=64, primary_key=True, editable=False)
    teacher = models.ForeignKey(Teacher, on_delete=models.CASCADE, related_name="sent_forms")
    address = models.TextField(blank=True)
    #: Messages as `[level, text, extra tags]`.
    said = models.JSONField(default=list)
    sent_at = models.DateTimeField(default=timezone.now, editable=False, db_index=True)

    def __str__(self) -> str:
        return f"form sent {self.sent_at:%Y-%m-%d %H:%M}"
