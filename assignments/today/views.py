"""A student's day: the page of its plan, from which the stage plays it."""

import json

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.cache import add_never_cache_headers
from django.views.decorators.http import require_safe

from assignments.days import today_in
from assignments.fill_pictures import with_pictures
from assignments.fill_queries import fills_of
from assignments.student_grooves import played_by
from assignments.today.forms import MinutesForm
from assignments.today.gained import gained
from assignments.today.practice_session import stage_of_today
from assignments.today.start_groove import start_groove
from assignments.today.today import Today, today_of
from studio.access import student_required
from studio.request_types import StudentRequest


@require_safe
@student_required
def today(request: StudentRequest) -> HttpResponse:
    what, form = _planned(request)
    page = {"today": what, "form": form, "gained": _gained(request, what)}
    with_pictures(each.shown for each in what.each)
    if what.lines:
        page["stage"] = stage_of_today(what, played_by(request.student))
    else:
        page["groove"] = json.dumps(start_groove(request.student))
    return render(request, "assignments/today/today.html", page)


@require_safe
@student_required
def week_gained(request: StudentRequest) -> HttpResponse:
    """The week's sentence alone, for the end of a run that was just kept."""
    student = request.student
    said = gained(student, fills_of(student), today_in(student.studio))
    answer = render(request, "assignments/today/gained.html", {"gained": said})
    add_never_cache_headers(answer)
    return answer


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


def _gained(request: StudentRequest, what: Today) -> str:
    """Return what was gained this week once the plan is done, "" before."""
    if not what.minutes or not what.is_done:
        return ""
    return gained(request.student, what.fills, what.day)
