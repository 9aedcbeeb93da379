"""How fills are to be drawn that lead students out of their comfort zones."""

from collections.abc import Collection

from assignments.comfort.comfort_zones import readable_zone
from assignments.models import KeptZone
from rhythms.engine.comfort import Zone
from rhythms.engine.comfort.way_out_wish import WayOutWish
from rhythms.fill_spaces import engine_kit
from studio.models import Student


def wish_for(student: Student, zone: Zone) -> WayOutWish | None:
    """Return that of a student; None for a kit of one drum, on which no stroke goes elsewhere."""
    return WayOutWish.of_zone(zone) if len(engine_kit(student).hand_surfaces) > 1 else None


def way_out_wishes(students: Collection[Student]) -> dict[Student, WayOutWish]:
    """Return that of each student whose zone is known and who has one; one query."""
    kept = KeptZone.objects.filter(student__in=students).exclude(details__zone=None)
    zones = dict(kept.values_list("student", "details__zone"))
    read = {student: readable_zone(zones.get(student.pk)) for student in students}
    found = {student: wish_for(student, zone) for student, zone in read.items() if zone}
    return {student: wish for student, wish in found.items() if wish}
