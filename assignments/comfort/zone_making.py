"""The worker's part of a comfort zone: work it out of what was played and given, keep it."""

import hashlib
import json
from collections.abc import Collection, Iterable
from dataclasses import replace
from datetime import date, timedelta
from typing import Any, NamedTuple
from uuid import UUID

from django.db.models import Q

from assignments.comfort.comfort_zones import DAYS
from assignments.comfort.figure_store import FigureStore
from assignments.comfort.playing_record import (
    COMFORT_VERSION,
    DrawnFrom,
    Material,
    material_of,
    playing_of,
)
from assignments.comfort.way_out import is_gone, judged, latest_way_out, way_out_of
from assignments.days import today_in
from assignments.models import Assignment, KeptZone
from assignments.models.kept_zone import outdated
from rhythms.engine import Fill, FillSpace
from rhythms.engine.comfort import Playing, comfort_zone
from rhythms.engine.comfort.facts import BesideWhom
from rhythms.engine.comfort.people import Person
from rhythms.engine.comfort.trait_table import OwnPlays, stats_from_json, stats_to_json
from rhythms.engine.comfort.variety_estimate import change, variety
from rhythms.engine.comfort.zone import Zone
from rhythms.engine.comfort.zone_json import (
    MOST_CLUSTERS,
    estimate_to_json,
    summary_to_json,
    zone_to_json,
)
from studio.models import Student, Studio

#: How far back the chart goes, a point a week, and how many days each point rests on.
WEEKS_SHOWN, DAYS_A_POINT = 12, 28
#: Students are held against those of whom so many takes of their own tell.
BESIDE_FROM = 10
_DAY = timedelta(days=1)
_WEEK = 7 * _DAY
_FIRST_HALF = DAYS // 2


def refresh(student: Student) -> bool:
    """Have the student's zone say what is so today; whether anything had to be written.

    A change while it is being made leaves it outdated: it is made once more.
    """
    today = today_in(student.studio)
    kept, _ = KeptZone.objects.light().get_or_create(student=student)
    if kept.is_current(today, COMFORT_VERSION):
        return False
    given = latest_way_out([student]).get(student.pk)
    found = material_of(student, today - (WEEKS_SHOWN * 7 + DAYS_A_POINT) * _DAY, today)
    key = _key(found, given, today)
    made = {} if kept.key == key else _worked_out(found, given, today)
    written = KeptZone.objects.filter(pk=kept.pk, made_of__lte=kept.changes)
    written.update(
        **made,
        key=key,
        version=COMFORT_VERSION,
        day=today,
        moves_on=_moves_on(found, today),
        made_of=kept.changes,
    )
    return True


def favourites_on(student: Student, day: date) -> tuple[Fill, ...]:
    """Return what the student fell back on up to a day, as `favourites` has it of today."""
    found = material_of(student, day - (DAYS - 1) * _DAY, day)
    spaces = found.spaces()
    zone = comfort_zone(playing_of(found, spaces), spaces.values(), found.kit)
    return zone.favourites[:MOST_CLUSTERS] if zone else ()


class ZoneOfSome(NamedTuple):
    """A zone, None of too few takes; on how many takes it rests, and of how many they are drawn."""

    zone: Zone | None
    looked_at: int
    of: int


def zone_of_some(student: Student, takes: Collection[UUID], first: date, today: date) -> ZoneOfSome:
    """Return the zone of some of the takes since a day; worked out, and not kept.

    As much is looked at of them as of all: up to a number of different fills.
    """
    found = material_of(student, first, today)
    wanted = set(takes)
    some = replace(found, takes=[take for take in found.takes if take.pk in wanted])
    spaces = some.spaces()
    played = playing_of(some, spaces)
    looked_at = len(played.takes)
    figures = FigureStore.of(student)
    beside = BesideWhom(studio=_others_beside(student), chances=figures.chances)
    zone = comfort_zone(played, spaces.values(), some.kit, beside, some.fills)
    figures.save()
    return ZoneOfSome(zone, looked_at, looked_at + len(played.left_out))


def students_outdated(studio: Studio) -> list[int]:
    """Return the students, by pk in order, whose zone is to be made, or made again."""
    found = (
        Student.objects.kept()
        .filter(studio=studio)
        .filter(Q(kept_zone=None) | outdated(today_in(studio), COMFORT_VERSION, "kept_zone__"))
    )
    return list(found.order_by("pk").values_list("pk", flat=True))


def _key(found: Material, given: Assignment | None, today: date) -> str:
    """A hash of all it rests on: of what was played, also whether that is long ago."""
    since = today - (DAYS - 1) * _DAY, today - _FIRST_HALF * _DAY + _DAY
    old = [sum(take.day < day for take in found.takes) for day in since]
    way_out = [given.pk, str(given.created_at), given.away_from] if given else []
    gone = [is_gone(assignment) for assignment in found.given.values()]
    parts = [found.key, old, way_out, gone]
    return hashlib.sha256(json.dumps(parts).encode()).hexdigest()


def _moves_on(found: Material, today: date) -> date | None:
    """The first day on which a take goes over to the other half, or out of the days."""
    days = (take.day + after * _DAY for take in found.takes for after in (_FIRST_HALF, DAYS))
    return min((day for day in days if day > today), default=None)


def _worked_out(found: Material, given: Assignment | None, today: date) -> dict[str, Any]:
    """What is kept of a student's playing, by the names of the model's fields."""
    spaces = found.spaces()
    first = today - (DAYS - 1) * _DAY
    played = playing_of(found, spaces, first)
    lately = played.between(first, today)
    figures = FigureStore.of(found.student)
    beside = BesideWhom(studio=_others_beside(found.student), chances=figures.chances)
    own = OwnPlays.of(lately)
    zone = comfort_zone(lately, spaces.values(), found.kit, beside, found.fills, own)
    figures.save()
    return {
        "takes": sum(take.day > today - DAYS * _DAY for take in found.takes),
        "summary": {
            "zone": None if zone is None else summary_to_json(zone.summary),
            "trend": estimate_to_json(_trend(lately, today)),
        },
        "favourites": [] if zone is None else _favourites(zone),
        "traits": stats_to_json(own.all_stats()) if len(own.takes) >= BESIDE_FROM else [],
        "details": {
            "zone": None if zone is None else zone_to_json(zone),
            "looked_at": [len(lately.takes), len(lately.takes) + len(lately.left_out)],
            "weeks": list(_weeks(played, today)),
            "worked": judged(found.student, given, today),
            "way_out": _way_out(found, spaces, zone, today),
        },
    }


def _others_beside(student: Student) -> list[Person]:
    """What the other students of the studio do, of whom enough takes tell."""
    kept = KeptZone.objects.filter(student__studio=student.studio, student__removed_at=None)
    stored = kept.exclude(student=student).exclude(traits=[]).order_by("student")
    return [stats_from_json(traits) for traits in stored.values_list("traits", flat=True)]


def _favourites(zone: Zone) -> list[dict[str, Any]]:
    return [fill.to_json() for fill in zone.favourites[:MOST_CLUSTERS]]


def _trend(lately: Playing, today: date) -> Any:
    middle = today - _FIRST_HALF * _DAY
    return change(lately.between(date.min, middle), lately.between(middle + _DAY, today))


def _weeks(played: Playing, today: date) -> Iterable[list[Any]]:
    for number in reversed(range(WEEKS_SHOWN)):
        end = today - number * _WEEK
        within = played.between(end - (DAYS_A_POINT - 1) * _DAY, end)
        yield [end.isoformat(), estimate_to_json(variety(within))]


def _way_out(
    found: Material, spaces: dict[DrawnFrom, FillSpace], zone: Zone | None, today: date
) -> list[Any] | None:
    known: Collection[Any] = zone.favourites[:MOST_CLUSTERS] if zone else ()
    leads = way_out_of(found, spaces, known, today)
    return None if leads is None else list(leads)
