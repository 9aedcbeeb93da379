"""Every step on a fill's way to being mastered, and back."""

from django.db import models

from assignments.models.deed import Deed
from assignments.models.entry import PracticeEntry
from assignments.models.variation import AssignedVariation
from studio.removal import RemovableQuerySet


class MasteryEvent(Deed):
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

    objects = RemovableQuerySet.as_manager()

    STUDIO_PATH = "variation__assignment__studio"

    class Meta:
        ordering = ["day", "at", "pk"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} on {self.day:%-d %B}"
