"""A student's day: the page of its plan, from which the stage plays it."""

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from assignments.days import today_in
from assignments.student_grooves import played_by
from assignments.today.forms import MinutesForm
from assignments.today.practice_session import stage_of_today
from assignments.today.today import Today, today_of
from studio.access import student_required
from studio.request_types import StudentRequest


@require_safe
@student_required
def today(request: StudentRequest) -> HttpResponse:
    what, form = _planned(request)
    stage = stage_of_today(what, played_by(request.student)) if what.lines else None
    page = {"today": what, "form": form, "stage": stage}
    return render(request, "assignments/today/today.html", page)


@require_safe
@student_required
def play(request: StudentRequest) -> HttpResponse:
    """Where the plan was played once: Today, with the stage ready."""
    asked = request.GET.urlencode()
    address = reverse("assignments:today") + (f"?{asked}" if asked else "")
    return redirect(f"{address}#stage")


def _planned(request: StudentRequest) -> tuple[Today, MinutesForm]:
    """Return the day's plan for as many minutes as the address asks for (`?minutes=10`)."""
    form = MinutesForm(request.GET if "minutes" in request.GET else None)
    day = today_in(request.student.studio)
    return today_of(request.student, day, form.asked), form
