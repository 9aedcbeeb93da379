"""How fills are to be drawn that lead students out of their comfort zones."""

from collections.abc import Collection

from assignments.comfort.comfort_zones import readable_zone
from assignments.models import KeptZone
from rhythms.engine.comfort import Zone
from rhythms.engine.comfort.way_out_wish import WayOutWish
from studio.models import Student


def wish_of(zone: Zone) -> WayOutWish:
    """Return it as the zone has it: all its moves, and what there is more of than with others:
    what they fall back on before what they do as well."""
    more = sorted(
        (fact for fact in zone.facts if fact.is_more),
        key=lambda fact: not fact.keeps_coming_back,
    )
    return WayOutWish.of(zone.moves, (fact.trait for fact in more))


def way_out_wishes(students: Collection[Student]) -> dict[Student, WayOutWish]:
    """Return that of each student whose zone is known; one query."""
    kept = KeptZone.objects.filter(student__in=students).exclude(details__zone=None)
    zones = dict(kept.values_list("student", "details__zone"))
    read = {student: readable_zone(zones.get(student.pk)) for student in students}
    return {student: wish_of(zone) for student, zone in read.items() if zone}
