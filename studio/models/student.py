"""A student: a nickname and what the teacher must know to choose their fills."""

from typing import Self

from django.db import models
from django.db.models import Count, Q
from django.utils import timezone

from studio.models.kit import Kit
from studio.models.studio import Studio
from studio.removal import Removable, RemovableQuerySet
from studio.retention import LINK_UNUSED_FOR


def link_in_use(before: str = "") -> Q:
    """Whether a link was made or used lately enough; `before`: the path to it, as for a query."""
    since = timezone.now() - LINK_UNUSED_FOR
    unused = {f"{before}last_used_at": None, f"{before}created_at__gt": since}
    return Q(**{f"{before}last_used_at__gt": since}) | Q(**unused)


class StudentQuerySet(RemovableQuerySet):
    def with_working_links(self) -> Self:
        """Give each student `working_links`, the number of links they can sign in with."""
        working = Q(sign_in_links__revoked_at=None) & link_in_use("sign_in_links__")
        return self.annotate(working_links=Count("sign_in_links", filter=working))


class Student(Removable):
    """Often a child: no name, no e-mail address, no birth date is ever asked for."""

    class Handedness(models.TextChoices):
        RIGHT = "right", "Right-handed"
        LEFT = "left", "Left-handed"

    class Level(models.TextChoices):
        BEGINNER = "beginner", "Beginner"
        INTERMEDIATE = "intermediate", "Intermediate"
        ADVANCED = "advanced", "Advanced"

    class Weekday(models.IntegerChoices):
        """Numbered as `datetime.date.weekday()` does."""

        MONDAY = 0, "Monday"
        TUESDAY = 1, "Tuesday"
        WEDNESDAY = 2, "Wednesday"
        THURSDAY = 3, "Thursday"
        FRIDAY = 4, "Friday"
        SATURDAY = 5, "Saturday"
        SUNDAY = 6, "Sunday"

    class Mixing(models.TextChoices):
        """How the fills of one day's practice follow each other."""

        MIXED = "mixed", "Mixed: the new fill first, then in turn with known ones"
        BLOCKED = "blocked", "Blocked: one fill after the other, each in one piece"

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="students")
    nickname = models.CharField(max_length=40)
    handedness = models.CharField(
        "hands", max_length=5, choices=Handedness.choices, default=Handedness.RIGHT
    )
    kit = models.ForeignKey(Kit, on_delete=models.PROTECT, related_name="students")
    level = models.CharField(max_length=12, choices=Level.choices, default=Level.BEGINNER)
    lesson_weekday = models.PositiveSmallIntegerField(
        "lesson day", choices=Weekday.choices, null=True, blank=True
    )
    mixing = models.CharField(
        "order of practice", max_length=7, choices=Mixing.choices, default=Mixing.MIXED
    )

    working_links: int  # given by `with_working_links`

    objects = StudentQuerySet.as_manager()  # type: ignore[misc]

    class Meta:
        ordering = ["nickname", "pk"]

    def __str__(self) -> str:
        return self.nickname

    @property
    def is_authenticated(self) -> bool:
        """A student behind a request came in by their personal link (read by the API)."""
        return True
