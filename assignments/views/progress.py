"""Progress: of the whole studio, and of one student."""

from collections.abc import Sequence

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from assignments.charts import bars, steps
from assignments.days import days_up_to, today_in
from assignments.progress import NONE, mastered_so_far, standings
from studio.access import student_of, teacher_required
from studio.models import Student
from studio.requests import TeacherRequest

DAYS_SHOWN = 28


@require_safe
@teacher_required
def studio(request: TeacherRequest) -> HttpResponse:
    students = list(Student.objects.kept().filter(studio=request.studio))
    page = _page(request, students) if students else {}
    return render(request, "assignments/progress.html", page)


@require_safe
@teacher_required
def student(request: TeacherRequest, pk: int) -> HttpResponse:
    one = student_of(request, pk)
    return render(request, "assignments/progress.html", _page(request, [one]) | {"student": one})


def _page(request: TeacherRequest, students: Sequence[Student]) -> dict[str, object]:
    days = days_up_to(today_in(request.studio), DAYS_SHOWN)
    standing = standings(students, days)
    minutes = [sum(each, NONE) for each in zip(*(one.minutes for one in standing), strict=True)]
    return {
        "standings": standing,
        "minutes": bars(days, minutes),
        "mastered": steps(days, mastered_so_far(students, days, request.studio.zone)),
        "total": sum(minutes, NONE),
    }
