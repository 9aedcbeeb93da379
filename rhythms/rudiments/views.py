"""The rudiments: the page, and one of them taken as a bar."""

from django.contrib import messages
from django.core.exceptions import BadRequest
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from rhythms.engine.fills.fill import HANDS
from rhythms.engine.rudiments.rudiment_table import RUDIMENTS
from rhythms.rudiments.rudiment_list import rudiment_families, take_as_bar
from studio.access import sign_in_required, teacher_required
from studio.forms import number_in
from studio.models import Student
from studio.once import once
from studio.request_types import Request, TeacherRequest


@require_safe
@sign_in_required
def rudiments(request: Request) -> HttpResponse:
    """All forty, led by the hand that is asked for, or that leads who is asking."""
    lead = request.GET.get("lead", "")
    if lead not in HANDS:
        lead = "L" if _is_left_handed(request.student) else "R"
    page = {"families": rudiment_families(lead), "lead": lead, "here": "rudiments"}
    return render(request, "rhythms/rudiments/rudiments.html", page)


@require_POST
@teacher_required
@once
def rudiment_bar(request: TeacherRequest) -> HttpResponse:
    """Take the bar of the rudiment of this number into the library."""
    number = number_in(request.POST.get("number", ""), len(RUDIMENTS))
    if not number:
        raise BadRequest(f"Rudiments have numbers from 1 to {len(RUDIMENTS)}.")
    bar, is_new = take_as_bar(request.studio, RUDIMENTS[number - 1])
    told = "is among your bars now" if is_new else "was among your bars already"
    rest = "Its hands, grace notes and rolls are a rule set: take it from the page of rudiments."
    messages.success(request, f"“{bar}” {told}, with its rhythm and accents. {rest}")
    return redirect("rhythms:bar", bar.pk)


def _is_left_handed(student: Student | None) -> bool:
    return student is not None and student.handedness == Student.Handedness.LEFT
