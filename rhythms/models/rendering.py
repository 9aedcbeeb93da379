"""What is made by the worker: once for each content, shared by all who get it."""

from collections.abc import Iterable
from datetime import timedelta
from typing import NamedTuple, Self

from django.db import models
from django.db.models import Q
from django.utils import timezone

from rhythms.engine import Fill
from rhythms.engine.bars.feel import Feel
from studio.elapsed import long_ago, was_long_ago
from studio.models import Student, Studio
from studio.retention import ENGRAVING_UNUSED_FOR, FILE_UNUSED_FOR

#: A worker that has not answered after this long may never have got the task.
PATIENCE = timedelta(minutes=1)
#: What could not be stored is tried again after a minute, then after twice as long each time.
FIRST_PAUSE, LONGEST_PAUSE = timedelta(minutes=1), timedelta(hours=1)
#: What is wanted again is noted, but not each time a page shows it.
_NOTED_AFTER = timedelta(days=3)
#: Where their files are among those of the storage.
FOLDER = "renderings"


class FileOwner(NamedTuple):
    """Whom a file was made for, by primary keys: a student of a studio, or the studio itself."""

    studio: int
    student: int | None = None

    @classmethod
    def of(cls, whose: "Student | Studio") -> "FileOwner":
        if isinstance(whose, Student):
            return cls(whose.studio_id, whose.pk)
        return cls(whose.pk)


class RenderingQuerySet(models.QuerySet["Rendering"]):
    def overdue(self) -> Self:
        """Return those that were asked for a while ago and are still waiting."""
        now = timezone.now()
        its_turn = Q(retry_at=None) | Q(retry_at__lte=now) | Q(retry_at__gt=now + 2 * LONGEST_PAUSE)
        waiting = self.filter(its_turn, state=Rendering.State.WAITING)
        return waiting.filter(long_ago("asked_at", PATIENCE))

    def ask_for(self, keys: Iterable[str]) -> None:
        """Mark these as asked for just now; how often they could not be stored stays counted."""
        waiting = {"state": Rendering.State.WAITING, "file": "", "error": ""}
        self.filter(key__in=list(keys)).update(asked_at=timezone.now(), **waiting)

    def of_owner(self, owner: FileOwner) -> Self:
        """Return the files that were made for this student, or for this studio itself."""
        return self.filter(studio=owner.studio, student=owner.student)

    def orphaned(self) -> Self:
        """Return files of students who were removed: made again where one is brought back."""
        return self.filter(student__removed_at__isnull=False)

    def failed(self) -> Self:
        """Return those that could not be made."""
        return self.filter(state=Rendering.State.FAILED)

    def outlived(self) -> Self:
        """Return those that nobody wanted for a while; what something points to is for good."""
        now = timezone.now()
        for_an_occasion = ~Q(format="svg") & Q(asked_at__lt=now - FILE_UNUSED_FOR)
        unused = Q(format="svg", asked_at__lt=now - ENGRAVING_UNUSED_FOR)
        pointed_from = [relation.name for relation in Rendering._meta.related_objects]
        return self.filter(for_an_occasion | unused, **dict.fromkeys(pointed_from))

    def note_wanted(self, keys: Iterable[str]) -> bool:
        """Note that these are wanted now; whether there was one to note it of."""
        made = self.filter(key__in=keys).exclude(state=Rendering.State.WAITING)
        old = made.filter(asked_at__lt=timezone.now() - _NOTED_AFTER)
        return bool(old.update(asked_at=timezone.now()))


class Rendering(models.Model):
    """Addressed by the hash of what it shows; `source` is all that it can be made again from.

    `format` is also how its file's name ends: "svg" for a fill's engraving, "pdf" for a
    practice sheet, "mp3" for a timeline. An engraving has no owner: it names nobody, and is shared.
    The others were made for a `student`, or for the `studio`, and go with them; of one owner and
    `subject` there is one at a time.
    """

    class State(models.TextChoices):
        WAITING = "waiting", "Being engraved"
        DONE = "done", "Engraved"
        FAILED = "failed", "Not engraved"

    key = models.CharField(max_length=64, primary_key=True)
    format = models.CharField(max_length=10, default="svg")
    source = models.JSONField()
    file = models.FileField(max_length=200, blank=True)
    state = models.CharField(max_length=7, choices=State.choices, default=State.WAITING)
    error = models.TextField(blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    asked_at = models.DateTimeField(default=timezone.now)
    studio = models.ForeignKey(
        Studio, on_delete=models.CASCADE, null=True, blank=True, related_name="files"
    )
    student = models.ForeignKey(
        Student, on_delete=models.CASCADE, null=True, blank=True, related_name="files"
    )
    subject = models.CharField(max_length=100, blank=True)
    #: How often in a row it could not be stored, and when it is tried again.
    setbacks = models.PositiveSmallIntegerField(default=0)
    retry_at = models.DateTimeField(null=True, blank=True)
    rendered_at = models.DateTimeField(null=True, blank=True)

    objects = RenderingQuerySet.as_manager()

    class Meta:
        indexes = [
            models.Index(
                fields=["asked_at"],
                condition=~Q(state="done"),
                name="renderings_not_yet_made",
            )
        ]
        constraints = [
            models.CheckConstraint(
                condition=~Q(format="svg") | Q(studio=None, student=None),
                name="engraving_is_nobodys",
            ),
            models.CheckConstraint(
                condition=Q(student=None) | Q(studio__isnull=False),
                name="file_of_a_student_is_of_the_studio",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.format} {self.key[:12]}, {self.get_state_display()}"

    @property
    def path(self) -> str:
        """Where its file is, in one of many folders: some file systems are slow with full ones."""
        return f"{FOLDER}/{self.key[:2]}/{self.key}.{self.format}"

    @property
    def is_overdue(self) -> bool:
        """Whether this should be asked for again."""
        if self.state != self.State.WAITING or not was_long_ago(self.asked_at, PATIENCE):
            return False
        if self.retry_at is None or self.retry_at <= timezone.now():
            return True
        return was_long_ago(self.retry_at, 2 * LONGEST_PAUSE)

    @property
    def is_held_up(self) -> bool:
        """Whether this waits for room on the disk."""
        return self.state == self.State.WAITING and self.setbacks > 0

    def hold_up(self) -> None:
        """Have this wait, each time longer, until it can be stored; one that is made stays so."""
        pause = min(FIRST_PAUSE * 2 ** min(self.setbacks, 10), LONGEST_PAUSE)
        held = Rendering.objects.filter(key=self.key).exclude(state=self.State.DONE)
        held.update(
            state=self.State.WAITING,
            setbacks=min(self.setbacks + 1, 1000),
            retry_at=timezone.now() + pause,
        )

    @property
    def is_getting_old(self) -> bool:
        """Whether it should be noted that this is wanted."""
        return self.asked_at < timezone.now() - _NOTED_AFTER

    @property
    def fill(self) -> Fill:
        """What an engraving shows."""
        return Fill.from_json(self.source["fill"])

    @property
    def feel(self) -> Feel:
        """The feel whose sign stands above an engraving."""
        return Feel.from_json(self.source.get("feel"))
