"""What a student may reach: their own, as long as it is not removed; or their teacher too."""

from typing import cast
from uuid import UUID

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404

from assignments.models import AssignedVariation, Assignment, PracticeEntry, Take
from studio.access import owned
from studio.models import Student
from studio.request_types import Request, TeacherRequest


def own_variation(student: Student, pk: int) -> AssignedVariation:
    """Return the student's fill with its practice, else raise Http404."""
    theirs = AssignedVariation.objects.kept().of(student).with_practice()
    return get_object_or_404(theirs, pk=pk)


def own_entry(student: Student, pk: UUID) -> PracticeEntry:
    """Return the entry of the student's log, else raise Http404."""
    return get_object_or_404(PracticeEntry.objects.kept(), pk=pk, student=student)


def own_removed_entry(student: Student, pk: UUID) -> PracticeEntry:
    """Like `own_entry`, for bringing one back."""
    return get_object_or_404(PracticeEntry, pk=pk, student=student)


def seen_assignment(request: Request, pk: int) -> Assignment:
    """Return the assignment for its student or a teacher of the studio, else raise Http404."""
    kept = Assignment.objects.kept().select_related("student__kit", "studio")
    if request.student:
        return get_object_or_404(kept, pk=pk, student=request.student)
    return owned(cast(TeacherRequest, request), kept, pk)


def seen_variation(request: Request, pk: int) -> AssignedVariation:
    """Return the fill for its student or a teacher of the studio, else raise Http404."""
    kept = AssignedVariation.objects.kept().select_related(
        "assignment__student__kit", "assignment__studio", "rendering"
    )
    if request.student:
        return get_object_or_404(kept, pk=pk, assignment__student=request.student)
    return owned(cast(TeacherRequest, request), kept, pk)


def seen_take(request: Request, pk: UUID) -> Take:
    """Return the take for its student or a teacher of the studio, else raise Http404."""
    return _take(request, Take.objects.kept(), pk)


def seen_removed_take(request: Request, pk: UUID) -> Take:
    """Like `seen_take`, for bringing one back."""
    return _take(request, Take.objects.all(), pk)


def _take(request: Request, takes: QuerySet[Take], pk: UUID) -> Take:
    takes = takes.filter(student__removed_at=None).select_related(
        "student__kit", "student__studio", "variation__assignment", "variation__rendering"
    )
    if request.student:
        return get_object_or_404(takes, pk=pk, student=request.student)
    return get_object_or_404(takes, pk=pk, student__studio=request.studio)
