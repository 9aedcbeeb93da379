"""The comfort zones of students, kept until they play or get something new."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta

from django.core.cache import cache

from assignments.comfort.playing_record import Material, materials, playings
from rhythms.engine import Fill, FillSpace, Kit
from rhythms.engine.comfort import FEWEST, Playing, Zone, comfort_zone
from rhythms.engine.comfort.variety_estimate import Estimate, change, variety
from studio.models import Student

#: A comfort zone rests on the takes of so many days; a trend compares its halves.
DAYS = 42
#: How far back the chart goes, a point a week, and how many days each point rests on.
WEEKS_SHOWN, DAYS_A_POINT = 12, 28
#: A day: what a zone rests on moves on with the days.
KEPT_FOR = 24 * 60 * 60
#: A fill that came up so many days ago is not new any more: a student who gives this much of the
#: time to one that came up since is at work on what they were given.
NOT_NEW, MUCH = timedelta(days=14), 0.5
#: More fills than these are no favourites.
MOST_FAVOURITES = 6
_WEEK = timedelta(weeks=1)
_DAY = timedelta(days=1)


@dataclass(frozen=True)
class Comfort:
    """What a student's takes of the last weeks say; `zone` is None where they are too few.

    `trend` is the factor by which variety has grown from the first half of the days to the
    second, where both have enough takes.
    """

    takes: int
    zone: Zone | None
    trend: Estimate | None = None

    @property
    def missing(self) -> int:
        """How many more takes a comfort zone needs."""
        return max(0, FEWEST - self.takes)

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
    """Return what the takes of each student say; three queries, however many there are."""
    found = materials(students, today - (DAYS - 1) * _DAY, today)
    keys = {one: f"comfort-zone-{today}-{one.key}" for one in found if len(one.takes) >= FEWEST}
    known = cache.get_many(keys.values())
    if new := [one for one in keys if keys[one] not in known]:
        looked_at = _looked_at(new, today)
        cache.set_many({keys[one]: looked_at[one] for one in new}, KEPT_FOR)
        known |= {keys[one]: looked_at[one] for one in new}
    return {
        one.student: known[keys[one]] if one in keys else Comfort(len(one.takes), None)
        for one in found
    }


def comfort_zone_of(student: Student, today: date) -> Comfort:
    """Return what the student's takes say."""
    return comfort_zones_of([student], today)[student]


def favourites(students: Collection[Student], today: date) -> dict[Student, tuple[Fill, ...]]:
    """Return the typical fills of each student's comfort zone, those most played first."""
    return {
        student: comfort.zone.favourites[:MOST_FAVOURITES] if comfort.zone else ()
        for student, comfort in comfort_zones_of(students, today).items()
    }


def weeks_of(student: Student, today: date) -> tuple[Point, ...]:
    """Return the variety of the student's fills week by week, the last point today."""
    ends = [today - number * _WEEK for number in reversed(range(WEEKS_SHOWN))]
    (material,) = materials([student], ends[0] - (DAYS_A_POINT - 1) * _DAY, today)
    key = f"variety-by-week-{today}-{material.key}"
    points: tuple[Point, ...] | None = cache.get(key)
    if points is None:
        points = _points(playings([material], {})[student.pk], ends)
        cache.set(key, points, KEPT_FOR)
    return points


def playing_between(student: Student, first: date, last: date) -> Playing:
    """Return what the student played on these days, both included."""
    found = materials([student], first, last)
    return playings(found, {})[student.pk]


def _looked_at(found: Collection[Material], today: date) -> dict[Material, Comfort]:
    spaces = {one.student.pk: one.spaces() for one in found}
    played = playings(found, spaces)
    return {
        one: _worked_out(played[one.student.pk], spaces[one.student.pk].values(), one.kit, today)
        for one in found
    }


def _worked_out(playing: Playing, given: Collection[FillSpace], kit: Kit, today: date) -> Comfort:
    middle = today - (DAYS // 2) * _DAY
    halves = playing.between(date.min, middle), playing.between(middle + _DAY, today)
    zone = comfort_zone(playing, given, kit)
    return Comfort(len(playing.takes), zone, change(*halves))


def _points(playing: Playing, ends: Collection[date]) -> tuple[Point, ...]:
    spans = [(end - (DAYS_A_POINT - 1) * _DAY, end) for end in ends]
    return tuple(Point(span[1], variety(playing.between(*span))) for span in spans)


def is_narrow(zone: Zone, today: date) -> bool:
    """Whether a student keeps coming back to the same, and not because it is new to them."""
    favourite = zone.clusters[0]
    is_new_work = favourite.share >= MUCH and today - favourite.since < NOT_NEW
    return bool(zone.sentences) and not is_new_work
