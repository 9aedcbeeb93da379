"""What a student's takes say of them, worked out once and read by every page."""

from collections.abc import Collection
from datetime import date
from typing import Self

from django.db import models
from django.db.models import F, Q

from studio.models import Student


class KeptZoneQuerySet(models.QuerySet["KeptZone"]):
    def light(self) -> Self:
        """Return them with what lists say alone."""
        return self.defer("favourites", "details", "traits")

    def outdate(self, students: Collection[int]) -> None:
        """Note that something changed which the zones of these students (by pk) rest on."""
        rows = [KeptZone(student_id=pk) for pk in students]
        KeptZone.objects.bulk_create(rows, ignore_conflicts=True)
        self.filter(student__in=students).update(changes=F("changes") + 1)


class KeptZone(models.Model):
    """One student's comfort zone as it was on `day`; the worker writes it, pages read it.

    It says what is so as long as `made_of` is the number of `changes`, and the days have not
    come to `moves_on`, the first on which the same takes say something else.
    """

    student = models.OneToOneField(
        Student, on_delete=models.CASCADE, primary_key=True, related_name="kept_zone"
    )
    #: How often something it rests on has changed, and which of these it has taken in.
    changes = models.PositiveIntegerField(default=0)
    made_of = models.PositiveIntegerField(default=0)
    #: The studio's day on which it was made; none where it never was.
    day = models.DateField(null=True, blank=True)
    moves_on = models.DateField(null=True, blank=True)
    #: A hash of all it rests on: where that is the same, nothing is worked out again.
    key = models.CharField(max_length=64, blank=True)
    #: Of how it is worked out.
    version = models.CharField(max_length=20, blank=True)
    #: When a page last asked the worker for it.
    asked_at = models.DateTimeField(null=True, blank=True)
    takes = models.PositiveIntegerField(default=0)
    #: `{"zone": what lists say, "trend": …}`; `rhythms.engine.comfort.zone_json` has the forms.
    summary = models.JSONField(default=dict, blank=True)
    #: The typical fills, those most played first.
    favourites = models.JSONField(default=list, blank=True)
    #: What the student does of each trait, for other students to be held against:
    #: `rhythms.engine.comfort.trait_table.stats_to_json`.
    traits = models.JSONField(default=list, blank=True)
    #: `{"zone": all of it, "looked_at": …, "weeks": …, "worked": …, "way_out": …}`, for the
    #: student's own page.
    details = models.JSONField(default=dict, blank=True)

    objects = KeptZoneQuerySet.as_manager()

    class Meta:
        verbose_name = "comfort zone"

    def __str__(self) -> str:
        return f"comfort zone of {self.student}"

    def is_current(self, today: date, version: str) -> bool:
        """Whether it says what would be worked out now."""
        if self.day is None or self.version != version or self.made_of != self.changes:
            return False
        return self.moves_on is None or today < self.moves_on


def outdated(today: date, version: str, path: str = "") -> Q:
    """Which zones are to be made, or made again; `path` leads to them, such as `kept_zone__`.

    A student without a row has none that is current.
    """
    never = Q(**{f"{path}day": None})
    changed = Q(**{f"{path}made_of__lt": F(f"{path}changes")})
    moved = Q(**{f"{path}moves_on__lte": today})
    return never | changed | moved | ~Q(**{f"{path}version": version})
