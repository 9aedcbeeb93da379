"""Names of fills: no two of a student's on one bar have the same one, removed ones neither."""

from collections import defaultdict
from collections.abc import Collection

from django.db import transaction

from assignments.models import AssignedVariation
from rhythms.engine import Fill
from rhythms.models import SourceBar
from rhythms.notation.fill_name import fill_name, route_name
from studio.models import Student

#: The fills of a student on one bar, by name.
NamedFills = dict[str, Fill]


def named_fills(students: Collection[Student], bar: SourceBar) -> dict[int, NamedFills]:
    """What each student has on the bar, by the student's primary key; one query."""
    theirs = AssignedVariation.objects.filter(
        assignment__student__in=[student.pk for student in students], assignment__source_bar=bar
    )
    named = defaultdict[int, NamedFills](dict)
    for student, name, stored in theirs.values_list("assignment__student", "name", "fill"):
        fill = Fill.from_json(stored)
        named[student][name or route_name(fill)] = fill
    return named


@transaction.atomic
def rename(variation: AssignedVariation, name: str) -> bool:
    """Call it so, or as is proposed where the name is blank; whether the name was free."""
    assignment = variation.assignment
    # Whoever assigns or renames meanwhile waits: a name is looked up and given in one go.
    list(Student.objects.select_for_update().filter(pk=assignment.student_id).values_list("pk"))
    theirs = AssignedVariation.objects.filter(
        assignment__student=assignment.student_id, assignment__source_bar=assignment.source_bar_id
    )
    others = {
        other or route_name(Fill.from_json(stored)): Fill.from_json(stored)
        for other, stored in theirs.exclude(pk=variation.pk).values_list("name", "fill")
    }
    if name.casefold() in {other.casefold() for other in others}:
        return False
    variation.name = name or fill_name(variation.as_fill, others)
    variation.save(update_fields=["name"])
    return True
