"""The teacher's first page."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from assignments.days import today_in
from assignments.roster import roster
from studio.access import teacher_required
from studio.requests import TeacherRequest


@require_safe
@teacher_required
def page(request: TeacherRequest) -> HttpResponse:
    rows = roster(request.studio, today_in(request.studio))
    return render(request, "assignments/roster.html", {"rows": rows})
