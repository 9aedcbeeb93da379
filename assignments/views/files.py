"""A fill as files for other programs, and the pages that list them."""

from django.http import Http404, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from assignments.blocks import block_of
from assignments.models import AssignedVariation, Assignment
from assignments.own import own_variation, seen_variation
from rhythms.handing_out import file_name, hand_out, saved
from rhythms.notation import block_midi
from rhythms.rendering import audio_rendering
from rhythms.taking_along import KINDS, OF_ALL
from studio.access import owned, sign_in_required, student_required, teacher_required
from studio.requests import Request, StudentRequest, TeacherRequest


@require_safe
@student_required
def fill(request: StudentRequest, pk: int) -> HttpResponse:
    variation = own_variation(request.student, pk)
    page = {
        "title": f"{variation}: take it along",
        "back": reverse("assignments:fill", args=[pk]),
        "assignment": variation.assignment,
        "fills": [variation],
    }
    return _show(request, page)


@require_safe
@teacher_required
def assignment(request: TeacherRequest, pk: int) -> HttpResponse:
    assignment = owned(request, Assignment.objects.select_related("student"), pk)
    page = {
        "title": f"{assignment} for {assignment.student}",
        "back": reverse("assignments:student", args=[assignment.student_id]),
        "assignment": assignment,
        "fills": _fills_of(assignment),
        "of_all": [(ending, KINDS[ending].label) for ending in OF_ALL],
    }
    return _show(request, page)


@require_safe
@teacher_required
def all_fills(request: TeacherRequest, pk: int, kind: str) -> HttpResponse:
    """The fills of an assignment in one file, each with the hands that its page shows."""
    assignment = owned(request, Assignment.objects.select_related("student"), pk)
    fills = {fill.place: fill.rendering.fill for fill in _fills_of(assignment)}
    if kind not in OF_ALL or not fills:
        raise Http404
    content = OF_ALL[kind](fills, str(assignment))
    return saved(content, file_name(assignment, kind), KINDS[kind].media_type)


@require_safe
@sign_in_required
def file(request: Request, pk: int, kind: str) -> HttpResponse:
    """The fill with the hands that its page shows; MIDI at the tempo of the assignment."""
    variation = seen_variation(request, pk)
    if kind not in KINDS:
        raise Http404
    _, _, media_type, made = KINDS[kind]
    content = made(variation.rendering.fill, variation.assignment.tempo)
    return saved(content, file_name(variation, kind), media_type)


@require_safe
@sign_in_required
def block(request: Request, pk: int) -> HttpResponse:
    """The whole block as MIDI."""
    variation = seen_variation(request, pk)
    content = block_midi(block_of(variation), variation.assignment.tempo)
    return saved(content, file_name(f"{variation}, block", "mid"), KINDS["mid"].media_type)


@require_safe
@sign_in_required
def audio(request: Request, pk: int) -> HttpResponseBase:
    """The whole block as an audio file."""
    variation = seen_variation(request, pk)
    assignment = variation.assignment
    made = audio_rendering(block_of(variation).sounds, assignment.tempo)
    name = file_name(f"{variation}, {assignment.tempo}", "mp3")
    return hand_out(request, made, name, assignment.student, _list_of(request, variation))


def _fills_of(assignment: Assignment) -> list[AssignedVariation]:
    fills = assignment.variations.kept().select_related("assignment", "rendering")
    return list(fills.order_by("position"))


def _show(request: Request, page: dict[str, object]) -> HttpResponse:
    kinds = [(kind.ending, kind.label) for kind in KINDS.values()]
    return render(request, "assignments/files.html", page | {"kinds": kinds})


def _list_of(request: Request, variation: AssignedVariation) -> str:
    if request.student:
        return reverse("assignments:fill-files", args=[variation.pk])
    return reverse("assignments:assignment-files", args=[variation.assignment_id])
