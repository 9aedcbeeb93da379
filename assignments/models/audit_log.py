"""Who did what when: changes of practice entries, and what happened to a fill's mastery."""

from django.db import models
from django.utils import timezone

from assignments.models.entry import PracticeEntry
from assignments.models.variation import AssignedVariation
from studio.models import Teacher
from studio.removal import RemovableQuerySet


class LoggedAction(models.Model):
    """Done by a teacher, or by the student whose thing it is where `teacher` is None."""

    at = models.DateTimeField(default=timezone.now, editable=False)
    teacher = models.ForeignKey(
        Teacher, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        abstract = True

    @property
    def who(self) -> str:
        """`teacher` or `student`: nobody's name is needed to know who it was."""
        return "teacher" if self.teacher_id else "student"


class EntryChange(LoggedAction):
    """One change of an entry: who, when, and its `PracticeEntry.snapshot` from `before`.

    Removing an entry and bringing it back are changes too.
    """

    class Kind(models.TextChoices):
        EDITED = "edited", "Edited"
        REMOVED = "removed", "Removed"
        RESTORED = "restored", "Brought back"

    entry = models.ForeignKey(PracticeEntry, on_delete=models.CASCADE, related_name="changes")
    kind = models.CharField(max_length=8, choices=Kind.choices)
    before = models.JSONField()

    class Meta:
        ordering = ["at", "pk"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} by the {self.who}, {self.at:%-d %B}"


class MasteryEvent(LoggedAction):
    """What happened to a fill on a student's `day`, by whom, when.

    A re-check stands or falls with the `entry` that was logged for it: when that is edited or
    removed, the event is marked as removed and no longer counts, but is kept.
    """

    class Kind(models.TextChoices):
        MASTERED = "mastered", "Called mastered"
        CLEAN = "clean", "Came out clean, played cold"
        NOT_CLEAN = "not clean", "Did not come out clean, played cold"
        CONFIRMED = "confirmed", "Confirmed"
        TAKEN_BACK = "taken back", "Taken back"

    variation = models.ForeignKey(
        AssignedVariation, on_delete=models.CASCADE, related_name="mastery_events"
    )
    kind = models.CharField(max_length=10, choices=Kind.choices)
    day = models.DateField()
    entry = models.ForeignKey(
        PracticeEntry,
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="mastery_events",
    )
    removed_at = models.DateTimeField(null=True, blank=True, editable=False)
    #: Made by the device that sent it: what is sent again after an answer was lost counts once.
    press = models.UUIDField(null=True, blank=True, unique=True, editable=False)

    objects = RemovableQuerySet.as_manager()

    STUDIO_PATH = "variation__assignment__studio"

    class Meta:
        ordering = ["day", "pk"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} on {self.day:%-d %B}"
