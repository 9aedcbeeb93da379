"""The comfort zones of students, as they were last worked out: read, never made here.

`zone_making` makes them; what a page finds outdated is shown with its day.
"""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.db.models import Count

from assignments.comfort.playing_record import COMFORT_VERSION
from assignments.models import KeptZone, Take
from rhythms.engine import Fill
from rhythms.engine.comfort import FEWEST
from rhythms.engine.comfort.variety_estimate import Estimate
from rhythms.engine.comfort.zone import Zone, ZoneSummary
from rhythms.engine.comfort.zone_json import (
    estimate_from_json,
    summary_from_json,
    zone_from_json,
)
from studio.models import Student

#: A comfort zone rests on the takes of so many days; a trend compares its halves.
DAYS = 42
#: A fill that came up so many days ago is not new any more: a student who gives this much of the
#: time to one that came up since is at work on what they were given.
NOT_NEW, MUCH = timedelta(days=14), 0.5
#: What reading a zone raises that was kept in a form of before: it is to be made again.
OF_ANOTHER_FORM = (KeyError, TypeError, ValueError)
_DAY = timedelta(days=1)


@dataclass(frozen=True)
class Comfort:
    """What a student's takes of the last weeks say; `zone` is None where they are too few.

    `trend` is the factor by which variety has grown from the first half of the days to the
    second, where both have enough takes. It was so on `day`; None where nobody has looked yet.
    """

    takes: int
    zone: ZoneSummary | None
    trend: Estimate | None = None
    day: date | None = None
    is_current: bool = True

    @property
    def missing(self) -> int:
        """How many more takes a comfort zone needs."""
        return max(0, FEWEST - self.takes)

    @property
    def is_waiting(self) -> bool:
        """Whether there are takes enough that nobody has looked at."""
        return self.day is None and not self.missing

    @property
    def direction(self) -> str:
        """`wider`, `narrower`, `about the same`; "" where the takes do not tell."""
        if self.trend is None:
            return ""
        if self.trend.low > 1:
            return "wider"
        return "narrower" if self.trend.high < 1 else "about the same"


@dataclass(frozen=True)
class Point:
    """The variety in the days up to this one; None where they had too few takes."""

    day: date
    variety: Estimate | None


def comfort_zones_of(students: Collection[Student], today: date) -> dict[Student, Comfort]:
    """Return what was last made of each student's takes; two queries, however many there are."""
    kept = {one.student_id: one for one in KeptZone.objects.light().filter(student__in=students)}
    never = [one.pk for one in students if one.pk not in kept or kept[one.pk].day is None]
    counted = _takes_of(never, today)
    return {
        student: _unmade(counted.get(student.pk, 0))
        if student.pk in never
        else comfort_in(kept[student.pk], today)
        for student in students
    }


def _unmade(takes: int) -> Comfort:
    """What is so without looking: fewer takes say nothing."""
    return Comfort(takes, None, is_current=takes < FEWEST)


def comfort_zone_of(student: Student, today: date) -> Comfort:
    """Return what was last made of the student's takes."""
    return comfort_zones_of([student], today)[student]


def comfort_in(kept: KeptZone, today: date) -> Comfort:
    """Return what a zone that was made says to lists; as if never made where older code did so."""
    summary = kept.summary.get("zone")
    try:
        zone = None if summary is None else summary_from_json(summary)
    except OF_ANOTHER_FORM:
        return _unmade(kept.takes)
    return Comfort(
        kept.takes,
        zone,
        estimate_from_json(kept.summary.get("trend")),
        kept.day,
        kept.is_current(today, COMFORT_VERSION),
    )


def zone_in(kept: KeptZone) -> Zone | None:
    """Return all of the zone; None where the takes are too few, or older code kept it."""
    return readable_zone(kept.details.get("zone"))


def readable_zone(stored: dict[str, Any] | None) -> Zone | None:
    """Return a zone as it was kept; None without one, or where its form is an older one's."""
    try:
        return None if stored is None else zone_from_json(stored)
    except OF_ANOTHER_FORM:
        return None


def looked_at_in(kept: KeptZone) -> tuple[int, int]:
    """Return the number of takes that the zone rests on, and of how many they were drawn.

    These are more only where a student played more different fills than can be compared.
    """
    looked_at, of = kept.details.get("looked_at", (kept.takes, kept.takes))
    return looked_at, of


def weeks_in(kept: KeptZone) -> tuple[Point, ...]:
    """Return the variety of the student's fills week by week, the last point on its day."""
    return tuple(
        Point(date.fromisoformat(day), estimate_from_json(variety))
        for day, variety in kept.details.get("weeks", ())
    )


def favourites(students: Collection[Student]) -> dict[Student, tuple[Fill, ...]]:
    """Return the typical fills of each student's comfort zone, those most played first."""
    kept = dict(KeptZone.objects.filter(student__in=students).values_list("student", "favourites"))
    return {
        student: tuple(Fill.from_json(one) for one in kept.get(student.pk, ()))
        for student in students
    }


def is_narrow(zone: ZoneSummary, today: date) -> bool:
    """Whether a student keeps coming back to the same, and not because it is new to them."""
    is_new_work = zone.most_played >= MUCH and today - zone.most_played_since < NOT_NEW
    return bool(zone.fallen_back_on) and not is_new_work


def _takes_of(students: Collection[int], today: date) -> dict[int, int]:
    """How many takes a zone of today would rest on, of students (by pk) who have some."""
    looked_at = Take.objects.kept().analysed().filter(student__in=students)
    lately = looked_at.filter(day__range=(today - (DAYS - 1) * _DAY, today)).order_by()
    return dict(lately.values_list("student").annotate(Count("pk")))
