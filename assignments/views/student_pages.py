"""A student's own pages, beside the kit: Today, My fills, My log, My progress."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from assignments.calendar_strip import strip
from assignments.climbing import climbs
from assignments.days import days_up_to, today_in
from assignments.forms.minutes import MinutesForm
from assignments.models import PracticeEntry
from assignments.models.variation import State
from assignments.playing import Today, by_state, fills_of, today_of
from assignments.progress import NONE, minutes_by_day
from assignments.run import run_of
from assignments.stand import with_fills
from assignments.streaks import streak
from assignments.views.paging import page_of
from studio.access import student_required
from studio.requests import StudentRequest

DAYS_SHOWN = 28
#: A row of days is followed back for a year.
DAYS_IN_A_ROW = 366


@require_safe
@student_required
def today(request: StudentRequest) -> HttpResponse:
    what, form = _planned(request)
    return render(request, "assignments/today.html", {"today": what, "form": form})


@require_safe
@student_required
def play(request: StudentRequest) -> HttpResponse:
    what, _ = _planned(request)
    engravings = {line.fill.rendering_id: line.fill.rendering for line in what.lines}
    page = {
        "today": what,
        "run": run_of(what),
        "engravings": engravings.values(),
        "felt": PracticeEntry.Felt.choices,
    }
    return render(request, "assignments/play.html", page)


def _planned(request: StudentRequest) -> tuple[Today, MinutesForm]:
    """Return the day's plan for as many minutes as the address asks for (`?minutes=10`)."""
    form = MinutesForm(request.GET if "minutes" in request.GET else None)
    day = today_in(request.student.studio)
    return today_of(request.student, day, form.asked), form


@require_safe
@student_required
def my_fills(request: StudentRequest) -> HttpResponse:
    fills = list(fills_of(request.student))
    page = {"states": by_state(fills) if fills else []}
    return render(request, "assignments/my_fills.html", page)


@require_safe
@student_required
def my_log(request: StudentRequest) -> HttpResponse:
    mine = PracticeEntry.objects.kept().filter(student=request.student)
    page = {"entries": page_of(request, with_fills(mine))}
    return render(request, "assignments/my_log.html", page)


@require_safe
@student_required
def my_progress(request: StudentRequest) -> HttpResponse:
    student = request.student
    today = today_in(student.studio)
    fills = list(fills_of(student))
    of_state = dict(by_state(fills))
    minutes = minutes_by_day([student], days_up_to(today, DAYS_IN_A_ROW))[student.pk]
    shown = {day: minutes[day] for day in days_up_to(today, DAYS_SHOWN) if day in minutes}
    page = {
        "weeks": strip(minutes, today),
        "minutes_in_all": sum(shown.values(), NONE),
        "days_practised": len(shown),
        "streak": streak(minutes, today),
        "holding": of_state[State.HOLDS],
        "mastered": of_state[State.MASTERED],
        "climbs": climbs(student, fills),
    }
    return render(request, "assignments/my_progress.html", page)
