"""Forms whose work is done, so that a second click does not do it again."""

from datetime import timedelta

from django.db import models
from django.utils import timezone

from studio.models.teacher import Teacher

#: After so long nobody clicks a second time.
KEPT_FOR = timedelta(days=1)


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

    @classmethod
    def forget_old(cls) -> None:
        """Delete what is older than a second click could be."""
        cls.objects.filter(sent_at__lt=timezone.now() - KEPT_FOR).delete()
