"""A student's day: the page of its plan, and the page that plays it."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from assignments.days import today_in
from assignments.models import PracticeEntry
from assignments.student_grooves import played_by
from assignments.today.forms import MinutesForm
from assignments.today.practice_session import first_shown, session_json
from assignments.today.today import Today, today_of
from studio.access import student_required
from studio.request_types import StudentRequest


@require_safe
@student_required
def today(request: StudentRequest) -> HttpResponse:
    what, form = _planned(request)
    return render(request, "assignments/today/today.html", {"today": what, "form": form})


@require_safe
@student_required
def play(request: StudentRequest) -> HttpResponse:
    what, _ = _planned(request)
    engravings = {line.fill.rendering_id: line.fill.rendering for line in what.lines}
    session = session_json(what, played_by(request.student))
    page = {
        "today": what,
        "run": session,
        **first_shown(session),
        "engravings": engravings.values(),
        "felt": PracticeEntry.Felt.choices,
    }
    return render(request, "assignments/today/play.html", page)


def _planned(request: StudentRequest) -> tuple[Today, MinutesForm]:
    """Return the day's plan for as many minutes as the address asks for (`?minutes=10`)."""
    form = MinutesForm(request.GET if "minutes" in request.GET else None)
    day = today_in(request.student.studio)
    return today_of(request.student, day, form.asked), form
