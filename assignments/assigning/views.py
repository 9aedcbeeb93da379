"""Handing out fills: three steps on one page."""

from collections.abc import Sequence
from typing import cast

from django.contrib import messages
from django.http import HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from assignments import text
from assignments.assigning.assign import AlreadyTheirsError, assign_fills
from assignments.assigning.assign_page import AssignPage
from assignments.days import today_in
from assignments.models import Assignment
from studio.access import teacher_required
from studio.models import Student, Teacher
from studio.once import answer_again, once
from studio.request_types import TeacherRequest

CHANGED = "What you chose has changed since these fills were drawn. Look at them, then assign."


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def assign(request: TeacherRequest) -> HttpResponseBase:
    """The page (GET); hand out the fills that it shows (POST)."""
    today = today_in(request.studio)
    if request.method != "POST":
        return _show(request, AssignPage.blank(request.studio, request.GET, today))
    if done := answer_again(request):
        return done
    sheet = AssignPage(request.studio, request.POST, today, complete=True)
    if sheet.form.is_valid() and sheet.is_as_shown:
        return _hand_out(request, sheet)
    if done := answer_again(request):  # the first of two clicks was done in the meantime
        return done
    if sheet.form.is_valid():
        sheet.form.add_error(None, CHANGED)
    return _show(request, sheet)


@require_POST
@teacher_required
def draw(request: TeacherRequest) -> HttpResponse:
    """Show what follows from what is chosen so far; with redraw or swap, other fills."""
    return _show(request, AssignPage(request.studio, request.POST, today_in(request.studio)))


@once
def _hand_out(request: TeacherRequest, sheet: AssignPage) -> HttpResponse:
    chosen = {draw.student: draw.ranks for draw in sheet.draws}
    try:
        made = assign_fills(cast(Teacher, request.user), sheet.form.work(), chosen)
    except AlreadyTheirsError as error:
        # What is theirs was read before somebody else assigned it: look once more.
        anew = AssignPage(request.studio, request.POST, today_in(request.studio), complete=True)
        anew.form.add_error(None, f"{error} Other fills are drawn in their place.")
        return _show(request, anew)
    messages.success(request, _confirmation(made))
    return _to_their_page(sheet.students)


def _to_their_page(students: Sequence[Student]) -> HttpResponse:
    if len(students) == 1:
        return redirect("assignments:student", students[0].pk)
    return redirect("assignments:roster")


def _confirmation(made: list[Assignment]) -> str:
    fills = text.count(sum(assignment.fills_given for assignment in made), "fill")
    names = [assignment.student.nickname for assignment in made]
    whom = text.listed(names) if len(names) <= 4 else f"{len(names)} students"
    return f"Assigned {fills} to {whom}."


def _show(request: TeacherRequest, sheet: AssignPage) -> HttpResponse:
    template = (
        "assignments/assigning/assign_live.html"
        if request.htmx
        else "assignments/assigning/assign.html"
    )
    return render(request, template, {"sheet": sheet, "form": sheet.form})
