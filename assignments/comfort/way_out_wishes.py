"""How fills are to be drawn that lead students out of their comfort zones."""

from collections.abc import Collection

from assignments.comfort.comfort_zones import readable_zone
from assignments.models import KeptZone
from rhythms.engine.comfort.way_out_wish import WayOutWish
from studio.models import Student


def way_out_wishes(students: Collection[Student]) -> dict[Student, WayOutWish]:
    """Return that of each student whose zone is known; one query."""
    kept = KeptZone.objects.filter(student__in=students).exclude(details__zone=None)
    zones = dict(kept.values_list("student", "details__zone"))
    read = {student: readable_zone(zones.get(student.pk)) for student in students}
    return {student: WayOutWish.of_zone(zone) for student, zone in read.items() if zone}
