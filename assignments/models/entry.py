"""One line of a student's practice log."""

import uuid
from datetime import datetime
from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models, transaction
from django.db.models import F, Q
from django.utils import timezone

from assignments.mastery import CLEAN, NOT_CLEAN, came_out_clean
from assignments.models.assignment import FASTEST, SLOWEST, TEMPO_RANGE
from assignments.models.variation import AssignedVariation
from studio.models import Student
from studio.removal import Removable

SHORTEST, LONGEST = Decimal("0.1"), Decimal(180)
#: More times through than anybody plays in one go.
MOST_LOOPS = 999
LOOPS_RANGE = [MinValueValidator(1), MaxValueValidator(MOST_LOOPS)]


class PracticeEntry(Removable):
    """So many minutes on one day; the id is made where it is typed, so that it is kept once.

    `day` is the student's day, by the clock of their studio. A `recheck` is a mastered fill
    played cold, to see whether it holds.
    """

    class Felt(models.TextChoices):
        """How it was to play, in a word."""

        EASY = "easy", "Easy"
        GOOD = "good", "Good"
        HARD = "hard", "Hard"
        SORE = "sore", "Something hurt"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    student = models.ForeignKey(Student, on_delete=models.CASCADE, related_name="entries")
    variation = models.ForeignKey(
        AssignedVariation, on_delete=models.SET_NULL, null=True, blank=True, related_name="entries"
    )
    day = models.DateField()
    minutes = models.DecimalField(
        max_digits=4,
        decimal_places=1,
        validators=[MinValueValidator(SHORTEST), MaxValueValidator(LONGEST)],
    )
    tempo = models.PositiveSmallIntegerField(
        "tempo in beats a minute", null=True, blank=True, validators=TEMPO_RANGE
    )
    loops = models.PositiveSmallIntegerField(
        "times through", null=True, blank=True, validators=LOOPS_RANGE
    )
    clean_loops = models.PositiveSmallIntegerField("of these clean", null=True, blank=True)
    felt = models.CharField("how it felt", max_length=4, choices=Felt.choices, blank=True)
    recheck = models.BooleanField("played cold, to see whether it holds", default=False)
    #: Not the fill as it was given, but the simpler one that Today had for it.
    easier = models.BooleanField("in a simpler form", default=False, db_default=False)
    note = models.CharField(max_length=200, blank=True)
    #: Where a device counts it while it is played, and it grows: the seconds that sounded, and
    #: how many answers were given to how it came out (`assignments.practice.counted_practice`).
    seconds = models.PositiveIntegerField(null=True, blank=True, editable=False)
    answered = models.PositiveSmallIntegerField(default=0, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)

    STUDIO_PATH = "student__studio"

    class Meta:
        verbose_name = "entry"
        verbose_name_plural = "entries"
        ordering = ["-day", "-created_at", "-pk"]
        indexes = [
            # With the minutes in it, sums are read from the index alone.
            models.Index(
                fields=["student", "day", "minutes"],
                condition=Q(removed_at=None),
                name="kept_entries_by_day",
            ),
            models.Index(
                fields=["variation", "removed_at", "day", "minutes"], name="entries_of_a_fill"
            ),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(minutes__gte=SHORTEST, minutes__lte=LONGEST),
                name="entry_minutes_possible",
            ),
            models.CheckConstraint(
                condition=Q(tempo=None) | Q(tempo__gte=SLOWEST, tempo__lte=FASTEST),
                name="entry_tempo_playable",
            ),
            models.CheckConstraint(
                condition=Q(loops=None) | Q(loops__gte=1, loops__lte=MOST_LOOPS),
                name="entry_loops_possible",
            ),
            models.CheckConstraint(
                condition=Q(clean_loops=None) | Q(loops__isnull=False, clean_loops__lte=F("loops")),
                name="entry_clean_loops_are_loops",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.minutes.normalize():f} min on {self.day:%-d %B}"

    @property
    def snapshot(self) -> dict[str, str | int | bool | None]:
        """What it says, as JSON takes it: to be compared, and to be kept when it changes."""
        return {
            "variation": self.variation_id,
            "day": self.day.isoformat(),
            "minutes": f"{Decimal(self.minutes):.1f}",
            "tempo": self.tempo,
            "loops": self.loops,
            "clean_loops": self.clean_loops,
            "felt": self.felt,
            "recheck": self.recheck,
            "note": self.note,
            # Left out of what is no simpler form, as of all that was kept before there were any.
            **({"easier": True} if self.easier else {}),
        }

    @transaction.atomic
    def _mark_removed(self, moment: datetime | None) -> None:
        self.changes.create(kind="removed" if moment else "restored", before=self.snapshot)
        super()._mark_removed(moment)
        self.apply_recheck()

    def apply_recheck(self) -> None:
        """Apply a re-check to its fill; its former outcome no longer counts."""
        had_events = self.mastery_events.kept().update(removed_at=timezone.now())
        verdict = self._verdict()
        if self.variation and verdict:
            self.variation.record_step(verdict, self.day, entry=self)
        elif self.variation and had_events:
            self.variation.settle()

    def _verdict(self) -> str:
        """What a re-check says of its fill; nothing as long as the clean ones are not counted."""
        if self.removed_at or not self.recheck or self.loops is None or self.clean_loops is None:
            return ""
        return CLEAN if came_out_clean(self.loops, self.clean_loops) else NOT_CLEAN
