"""Practice sheets: first how to print one, then the PDF itself."""

from typing import Any

from django.http import HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from assignments.days import today_in
from assignments.forms.sheets import WeekForm
from assignments.models import Assignment
from assignments.own import seen_assignment, seen_variation
from assignments.paper import assignment_sheet, fill_sheet, week_sheet
from rhythms.forms.sheets import SheetForm
from rhythms.handing_out import file_name, hand_out
from rhythms.rendering import sheet_rendering
from studio.access import sign_in_required, student_of, student_required, teacher_required
from studio.models import Student
from studio.requests import Request, StudentRequest, TeacherRequest


@require_safe
@sign_in_required
def assignment(request: Request, pk: int) -> HttpResponse:
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
    sheet = sheet_rendering(assignment_sheet(assignment, form.look))
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
    sheet = sheet_rendering(fill_sheet(variation, form.look))
    name, back = file_name(variation, "pdf"), _home(request, assignment)
    return hand_out(request, sheet, name, assignment.student, back)


@require_safe
@teacher_required
def week(request: TeacherRequest, pk: int) -> HttpResponse:
    student = student_of(request, pk)
    return _ask_week(request, student, WeekForm.opened(student.studio, _today(student)))


@require_safe
@teacher_required
def week_pdf(request: TeacherRequest, pk: int) -> HttpResponseBase:
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
    sheet = week_sheet(student, chosen["first_day"], form.look, chosen["how_many"])
    name = file_name(f"{student} {chosen['first_day']}", "pdf")
    return hand_out(request, sheet_rendering(sheet), name, student, _home(request, student))


def _ask_week(request: Request, student: Student, form: WeekForm) -> HttpResponse:
    pdf = reverse("assignments:my-week-pdf")
    if request.studio:
        pdf = reverse("assignments:student-week-pdf", args=[student.pk])
    title = f"A week on paper for {student}" if request.studio else "Your week on paper"
    return _ask(request, form, title=title, pdf=pdf, back=_home(request, student))


def _ask(request: Request, form: SheetForm, **page: Any) -> HttpResponse:
    status = 422 if form.errors else 200
    return render(request, "rhythms/sheet_form.html", page | {"form": form}, status=status)


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


def _today(student: Student):
    return today_in(student.studio)
