"""What an entry of the practice log said before it was changed."""

from django.db import models

from assignments.models.deed import Deed
from assignments.models.entry import PracticeEntry


class EntryChange(Deed):
    """One change of an entry: who, when, and what it said `before`, as `PracticeEntry.said` has it.

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
