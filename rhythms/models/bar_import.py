"""A file that a teacher sent to take bars from."""

import uuid
from datetime import timedelta
from typing import Self

from django.db import models
from django.utils import timezone

from rhythms.notation.reading import Reading
from studio.elapsed import long_ago
from studio.models import Studio
from studio.retention import IMPORT_KEPT_FOR

#: A worker that has not answered after this long may never have got the task.
PATIENCE = timedelta(minutes=2)
#: A file that no worker survived is not tried for ever.
MOST_TRIES = 2


class BarImportQuerySet(models.QuerySet["BarImport"]):
    def waiting(self) -> Self:
        """Return those that are still to be read."""
        return self.filter(state=BarImport.State.WAITING)

    def overdue(self) -> Self:
        """Return those that were asked for a while ago and are still waiting."""
        return self.waiting().filter(long_ago("asked_at", PATIENCE))

    def old(self) -> Self:
        """Return those that nobody is thought to pick from any more."""
        return self.filter(created_at__lt=timezone.now() - IMPORT_KEPT_FOR)


class BarImport(models.Model):
    """`data` is there until it was read; `reading` is then what the reader made of it.

    The web process only stores the bytes: a worker reads them, in a process with limits.
    """

    class State(models.TextChoices):
        WAITING = "waiting", "Being read"
        DONE = "done", "Read"
        FAILED = "failed", "Not read"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="bar_imports")
    name = models.CharField(max_length=120)
    hands_only = models.BooleanField(default=False)
    data = models.BinaryField(default=bytes)
    state = models.CharField(max_length=7, choices=State.choices, default=State.WAITING)
    tries = models.PositiveSmallIntegerField(default=0)
    reading = models.JSONField(null=True, blank=True)
    error = models.TextField(blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    asked_at = models.DateTimeField(default=timezone.now)

    objects = BarImportQuerySet.as_manager()

    class Meta:
        verbose_name = "file"
        ordering = ["-created_at"]

    def __str__(self) -> str:
        return self.name

    @property
    def read(self) -> Reading:
        """What was read; raises ValueError where nothing was."""
        if self.reading is None:
            raise ValueError(f"{self} is not read.")
        return Reading.from_json(self.reading)
