"""Paper and files: practice sheets, and fills for other programs."""

from datetime import date
from typing import Any

from django.http import Http404, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from assignments.blocks import block_of
from assignments.days import today_in
from assignments.downloads.forms import WeekForm
from assignments.downloads.sheet_content import sheet_of_assignment, sheet_of_fill, sheet_of_week
from assignments.models import AssignedVariation, Assignment
from assignments.student_access import own_variation, seen_assignment, seen_variation
from rhythms import notation
from rhythms.renderings.download_response import file_name, hand_out, saved
from rhythms.renderings.export_formats import KINDS, OF_ALL
from rhythms.renderings.rendering_store import audio_file, sheet_file
from rhythms.sheets.forms import SheetForm
from studio.access import owned, sign_in_required, student_of, student_required, teacher_required
from studio.models import Student
from studio.request_types import Request, StudentRequest, TeacherRequest


@require_safe
@sign_in_required
def assignment_sheet(request: Request, pk: int) -> HttpResponse:
    assignment = seen_assignment(request, pk)
    form = SheetForm(initial=SheetForm.usual(assignment.studio))
    return _ask(request, form, **_of_assignment(request, assignment))


@require_safe
@sign_in_required
def assignment_pdf(request: Request, pk: int) -> HttpResponseBase:
    assignment = seen_assignment(request, pk)
    form = SheetForm(request.GET)
    page = _of_assignment(request, assignment)
    if not form.is_valid():
        return _ask(request, form, **page)
    subject = f"assignment {pk}, {form.look.subject}"
    sheet = sheet_file(sheet_of_assignment(assignment, form.look), subject)
    return hand_out(request, sheet, file_name(assignment, "pdf"), assignment.student, page["back"])


@require_safe
@sign_in_required
def variation_pdf(request: Request, pk: int) -> HttpResponseBase:
    """One fill, on the studio's usual paper unless asked otherwise."""
    variation = seen_variation(request, pk)
    assignment = variation.assignment
    form = SheetForm(SheetForm.usual(assignment.studio) | request.GET.dict())
    if not form.is_valid():
        page = {"title": str(variation), "pdf": request.path, "back": _home(request, assignment)}
        return _ask(request, form, **page)
    sheet = sheet_file(sheet_of_fill(variation, form.look), f"fill {pk}, {form.look.subject}")
    name, back = file_name(variation, "pdf"), _home(request, assignment)
    return hand_out(request, sheet, name, assignment.student, back)


@require_safe
@teacher_required
def student_week(request: TeacherRequest, pk: int) -> HttpResponse:
    student = student_of(request, pk)
    return _ask_week(request, student, WeekForm.opened(student.studio, _today(student)))


@require_safe
@teacher_required
def student_week_pdf(request: TeacherRequest, pk: int) -> HttpResponseBase:
    return _week_pdf(request, student_of(request, pk))


@require_safe
@student_required
def my_week(request: StudentRequest) -> HttpResponse:
    student = request.student
    return _ask_week(request, student, WeekForm.opened(student.studio, _today(student)))


@require_safe
@student_required
def my_week_pdf(request: StudentRequest) -> HttpResponseBase:
    return _week_pdf(request, request.student)


def _week_pdf(request: Request, student: Student) -> HttpResponseBase:
    form = WeekForm(request.GET)
    if not form.is_valid():
        return _ask_week(request, student, form)
    chosen = form.cleaned_data
    first_day, how_many = chosen["first_day"], chosen["how_many"]
    subject = f"week from {first_day}, {how_many}, {form.look.subject}"
    sheet = sheet_file(sheet_of_week(student, first_day, form.look, how_many), subject)
    name = file_name(f"{student} {first_day}", "pdf")
    return hand_out(request, sheet, name, student, _home(request, student))


def _ask_week(request: Request, student: Student, form: WeekForm) -> HttpResponse:
    pdf = reverse("assignments:my-week-pdf")
    if request.studio:
        pdf = reverse("assignments:student-week-pdf", args=[student.pk])
    title = f"A week on paper for {student}" if request.studio else "Your week on paper"
    return _ask(request, form, title=title, pdf=pdf, back=_home(request, student))


def _ask(request: Request, form: SheetForm, **page: Any) -> HttpResponse:
    status = 422 if form.errors else 200
    return render(request, "rhythms/sheets/sheet_form.html", page | {"form": form}, status=status)


def _of_assignment(request: Request, assignment: Assignment) -> dict[str, str]:
    return {
        "title": f"{assignment} on paper",
        "pdf": reverse("assignments:assignment-pdf", args=[assignment.pk]),
        "back": _home(request, assignment),
    }


def _home(request: Request, of: Assignment | Student) -> str:
    """The page that one comes from: the student's for a teacher, Today for the student."""
    student_pk = of.student_id if isinstance(of, Assignment) else of.pk
    if request.studio:
        return reverse("assignments:student", args=[student_pk])
    return reverse("assignments:today")


def _today(student: Student) -> date:
    return today_in(student.studio)


@require_safe
@student_required
def fill_files(request: StudentRequest, pk: int) -> HttpResponse:
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
def assignment_files(request: TeacherRequest, pk: int) -> HttpResponse:
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
def assignment_file(request: TeacherRequest, pk: int, kind: str) -> HttpResponse:
    """The fills of an assignment in one file, each with the hands that its page shows."""
    assignment = owned(request, Assignment.objects.select_related("student"), pk)
    fills = {str(fill): fill.rendering.fill for fill in _fills_of(assignment)}
    if kind not in OF_ALL or not fills:
        raise Http404
    content = OF_ALL[kind](fills, str(assignment), assignment.feel)
    return saved(content, file_name(assignment, kind), KINDS[kind].media_type)


@require_safe
@sign_in_required
def variation_file(request: Request, pk: int, kind: str) -> HttpResponse:
    """The fill with the hands that its page shows; MIDI at the tempo of the assignment."""
    variation = seen_variation(request, pk)
    if kind not in KINDS:
        raise Http404
    _, _, media_type, made = KINDS[kind]
    assignment = variation.assignment
    content = made(variation.rendering.fill, assignment.tempo, assignment.feel)
    return saved(content, file_name(variation, kind), media_type)


@require_safe
@sign_in_required
def block_midi(request: Request, pk: int) -> HttpResponse:
    """The whole block as MIDI."""
    variation = seen_variation(request, pk)
    content = notation.block_midi(block_of(variation), variation.assignment.tempo)
    return saved(content, file_name(f"{variation}, block", "mid"), KINDS["mid"].media_type)


@require_safe
@sign_in_required
def block_audio(request: Request, pk: int) -> HttpResponseBase:
    """The whole block as an audio file."""
    variation = seen_variation(request, pk)
    assignment = variation.assignment
    made = audio_file(block_of(variation).sounds, assignment.tempo, f"block of fill {pk}")
    name = file_name(f"{variation}, {assignment.tempo}", "mp3")
    return hand_out(request, made, name, assignment.student, _list_of(request, variation))


def _fills_of(assignment: Assignment) -> list[AssignedVariation]:
    fills = assignment.variations.kept().select_related("assignment", "rendering")
    return list(fills.order_by("position"))


def _show(request: Request, page: dict[str, object]) -> HttpResponse:
    kinds = [(kind.ending, kind.label) for kind in KINDS.values()]
    return render(request, "assignments/downloads/fill_files.html", page | {"kinds": kinds})


def _list_of(request: Request, variation: AssignedVariation) -> str:
    if request.student:
        return reverse("assignments:fill-files", args=[variation.pk])
    return reverse("assignments:assignment-files", args=[variation.assignment_id])
