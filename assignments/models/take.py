"""What a student really played, as it was caught; what was made of it can be made again."""

import uuid
from collections.abc import Iterable
from datetime import timedelta
from typing import Self

from django.db import models
from django.db.models import Q
from django.utils import timezone

from assignments.models.assignment import FASTEST, SLOWEST, TEMPO_RANGE, Assignment
from assignments.models.variation import AssignedVariation
from rhythms.engine.bars.feel import EIGHTHS, LEAST, MOST, Feel
from rhythms.engine.bars.meter import LONGEST_METER
from rhythms.engine.takes.grid import ESTIMATED
from rhythms.models import Rendering
from rhythms.models.named import LONGEST_NAME
from studio.elapsed import long_ago
from studio.models import Student
from studio.removal import Removable, RemovableQuerySet
from studio.retention import REMOVED_TAKE_FOR

#: A worker that has not answered after this long may never have got the task.
PATIENCE = timedelta(minutes=1)


class TakeQuerySet(RemovableQuerySet):
    def of(self, student: Student) -> Self:
        """Return those that the student still has, the latest first."""
        return self.kept().filter(student=student)

    def analysed(self) -> Self:
        """Return those whose fills are known."""
        return self.filter(state=Take.State.DONE)

    def overdue(self) -> Self:
        """Return those that were given to the worker a while ago and still wait."""
        return self.filter(long_ago("asked_at", PATIENCE), state=Take.State.WAITING)

    def ask_for(self, keys: Iterable[uuid.UUID]) -> None:
        """Mark these as given to the worker just now."""
        waiting = {"state": Take.State.WAITING, "error": ""}
        self.filter(pk__in=list(keys)).update(asked_at=timezone.now(), **waiting)


class Take(Removable):
    """Strokes with their times, of one assigned fill or free.

    The raw events are kept for good: `analysis` and `fills` follow from them, and from the
    student's kit map, whenever the worker looks at them again. `day` is the student's day, by
    the clock of their studio.
    """

    class Source(models.TextChoices):
        """How it was caught."""

        FILE = "midi file", "MIDI file"
        LIVE = "web midi", "electronic kit"
        PADS = "pads", "pads or keys"
        LESSON = "lesson", "entered in the lesson"

    class State(models.TextChoices):
        """How far the worker is."""

        WAITING = "waiting", "Being looked at"
        DONE = "done", "Looked at"
        FAILED = "failed", "Not understood"

    KEPT_REMOVED = REMOVED_TAKE_FOR

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    student = models.ForeignKey(Student, on_delete=models.CASCADE, related_name="takes")
    #: The assigned fill it was meant to be; none for a free take.
    variation = models.ForeignKey(
        AssignedVariation, on_delete=models.SET_NULL, null=True, blank=True, related_name="takes"
    )
    source = models.CharField(max_length=10, choices=Source.choices)
    meter = models.CharField(max_length=LONGEST_METER, default="4/4")
    #: Quarters a minute, where it is known from a click or a file.
    tempo = models.PositiveSmallIntegerField(null=True, blank=True, validators=TEMPO_RANGE)
    #: What somebody who knows says it was; goes before what is read from the strokes.
    said_tempo = models.PositiveSmallIntegerField(null=True, blank=True, validators=TEMPO_RANGE)
    #: Whether somebody answered that it is counted so, where that is twice or half the given tempo.
    counted_as_said = models.BooleanField(default=False, db_default=False)
    #: The feel it is said to have; else that of its fill, or the one that is made out.
    swing = models.PositiveSmallIntegerField(null=True, blank=True)
    swing_unit = models.CharField(
        max_length=10,
        choices=Assignment.SwingUnit.choices,
        default=EIGHTHS,
        db_default=EIGHTHS,
    )
    seconds = models.FloatField()
    #: `[[milliseconds, key, velocity], …]` in order of time; keys as the kit sends them.
    events = models.JSONField(default=list)
    #: `{"tempo": quarters a minute, "start": milliseconds of a bar's first count}`, or nothing.
    click = models.JSONField(null=True, blank=True)
    #: How much later than struck a stroke arrives on this device, measured; in milliseconds.
    latency = models.FloatField(null=True, blank=True)
    #: How unsteady the device itself is, as a standard deviation in milliseconds.
    jitter = models.FloatField(default=0)
    #: What `rhythms.engine.takes` made of it, as JSON.
    analysis = models.JSONField(null=True, blank=True)
    #: What was played as fills: `Fill.to_json()` of each, in order.
    fills = models.JSONField(default=list, blank=True)
    #: The name of the groove that was made out around free fills, `OTHER_GROOVE` for none that is
    #: known; what the student says goes before it: a groove by name, or a style alone.
    groove_heard = models.CharField(max_length=LONGEST_NAME, blank=True, default="", db_default="")
    said_groove = models.CharField(max_length=LONGEST_NAME, blank=True, default="", db_default="")
    said_style = models.CharField(max_length=20, blank=True, default="", db_default="")
    #: Those of its fills that are engraved.
    renderings = models.ManyToManyField(Rendering, related_name="takes", blank=True)
    #: A file as it was sent, until the worker has read it.
    upload = models.BinaryField(null=True, blank=True)
    file_name = models.CharField(max_length=100, blank=True)
    state = models.CharField(max_length=7, choices=State.choices, default=State.WAITING)
    error = models.TextField(blank=True)
    asked_at = models.DateTimeField(default=timezone.now)
    analysed_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    day = models.DateField()

    objects = TakeQuerySet.as_manager()  # type: ignore[misc]

    STUDIO_PATH = "student__studio"

    class Meta:
        ordering = ["-day", "-created_at", "-pk"]
        indexes = [models.Index(fields=["student", "day"], name="takes_of_a_student_by_day")]
        constraints = [
            models.CheckConstraint(
                condition=Q(tempo=None) | Q(tempo__gte=SLOWEST, tempo__lte=FASTEST),
                name="take_tempo_playable",
            ),
            models.CheckConstraint(
                condition=Q(said_tempo=None) | Q(said_tempo__gte=SLOWEST, said_tempo__lte=FASTEST),
                name="take_said_tempo_playable",
            ),
            models.CheckConstraint(
                condition=Q(swing=None) | Q(swing__gte=LEAST, swing__lte=MOST),
                name="take_swing_playable",
            ),
            models.CheckConstraint(condition=Q(seconds__gte=0), name="take_lasts"),
        ]

    def __str__(self) -> str:
        of = str(self.variation) if self.variation_id else "Free"
        return f"{of}, take of {self.day:%-d %B}"

    @property
    def shown_tempo(self) -> int | None:
        """The tempo that stands beside it; None where none is known."""
        grid = (self.analysis or {}).get("grid") or {}
        return tempo_shown(self.said_tempo, self.tempo, grid.get("known"), grid.get("tempo"))

    @property
    def feel(self) -> Feel | None:
        """What it is held against; None where that is to be made out from the strokes."""
        if self.swing is not None:
            return Feel(self.swing, self.swing_unit)
        return self.variation.assignment.feel if self.variation else None


def tempo_shown(
    said: int | None, given: int | None, known: str | None, read: float | str | None
) -> int | None:
    """Return the tempo of a take, in quarters a minute: of one that was said, but does not count,
    what it is read at; None where none was said or given.

    ``known`` and ``read`` are those of the grid it was held against, both None without one.
    """
    if said and read and known != ESTIMATED:
        return round(float(read))
    return said or given


class KitMap(models.Model):
    """What one student's electronic kit sends, where it differs from what most kits send.

    `keys` has the surface of each MIDI key (as text, "0" to "127") they have shown us.
    """

    student = models.OneToOneField(
        Student, on_delete=models.CASCADE, primary_key=True, related_name="kit_map"
    )
    keys = models.JSONField(default=dict)
    changed_at = models.DateTimeField(auto_now=True)

    def __str__(self) -> str:
        return f"{self.student}’s kit: {len(self.keys)} keys"

    @property
    def surfaces(self) -> dict[int, str]:
        """Key to surface name."""
        return {int(key): surface for key, surface in self.keys.items()}
