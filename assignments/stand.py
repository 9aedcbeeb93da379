"""The fills on a student's stand."""

from django.db.models import Prefetch

from assignments.models import AssignedVariation
from assignments.models.variation import VariationQuerySet
from studio.models import Student
from studio.removal import RemovableQuerySet


def with_fills(entries: RemovableQuerySet) -> RemovableQuerySet:
    """Give each entry its `variation` with its full name; one query more."""
    fills = AssignedVariation.objects.select_related("assignment").named_apart()
    return entries.prefetch_related(Prefetch("variation", fills))


def fills_of(student: Student) -> VariationQuerySet:
    """Return all fills that the student has, with their practice, in playing order."""
    return AssignedVariation.objects.kept().of(student).with_practice().in_playing_order()
