"""Progress: of the whole studio, and of one student; My fills and My progress."""

from collections.abc import Sequence

from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from assignments.days import days_up_to, today_in
from assignments.fill_pictures import with_pictures
from assignments.fill_queries import fills_of
from assignments.progress.charts import bars, steps
from assignments.progress.fill_gathering import fill_gathering
from assignments.progress.practice_calendar import streak, strip
from assignments.progress.student_totals import (
    DAYS_SHOWN,
    NONE,
    Tally,
    mastered_so_far,
    minutes_by_day,
    minutes_in_all,
    standings,
    tallies,
)
from assignments.progress.tempo_history import climbs, fills_with_tempi
from studio.access import student_of, student_required, teacher_required
from studio.models import Student
from studio.pagination import ListPage, found_in, page_of, wanted_in
from studio.request_types import StudentRequest, TeacherRequest

#: A row of days is followed back for a year.
DAYS_IN_A_ROW = 366
CLIMBS_A_PAGE = 6


@require_safe
@teacher_required
def progress(request: TeacherRequest) -> HttpResponse:
    """The charts are of all students; the list is of those whose nickname is looked for."""
    wanted = wanted_in(request)
    students = Student.objects.kept().filter(studio=request.studio)
    page = page_of(request, found_in(students, wanted, "nickname") if wanted else students)
    shown = _page(request, list(page), students) if page or wanted else {}
    shown |= {"page": page, "wanted": wanted}
    return render(request, "assignments/progress/progress.html", shown)


@require_safe
@teacher_required
def student_progress(request: TeacherRequest, pk: int) -> HttpResponse:
    one = student_of(request, pk)
    page = _page(request, [one], [one]) | {"student": one}
    return render(request, "assignments/progress/progress.html", page)


def _page(
    request: TeacherRequest, shown: Sequence[Student], all_of: Sequence[Student] | QuerySet[Student]
) -> dict[str, object]:
    """Charts of all of them, and those shown one by one."""
    days = days_up_to(today_in(request.studio), DAYS_SHOWN)
    minutes = minutes_in_all(all_of, days)
    return {
        "standings": standings(shown, days),
        "minutes": bars(days, minutes),
        "mastered": steps(days, mastered_so_far(all_of, days, request.studio.zone)),
        "total": sum(minutes, NONE),
    }


@require_safe
@student_required
def my_fills(request: StudentRequest) -> HttpResponse:
    gathered = fill_gathering(request, today_in(request.student.studio))
    return render(request, "assignments/progress/my_fills.html", gathered._asdict())


@require_safe
@student_required
def my_progress(request: StudentRequest) -> HttpResponse:
    student = request.student
    today = today_in(student.studio)
    minutes = minutes_by_day([student], days_up_to(today, DAYS_IN_A_ROW))[student.pk]
    shown = {day: minutes[day] for day in days_up_to(today, DAYS_SHOWN) if day in minutes}
    tally = tallies([student]).get(student.pk, Tally())
    holding, climbed = (
        page_of(request, fills_of(student).for_lists().holding(), "holds"),
        _climbs(request),
    )
    with_pictures([*holding, *(climb.fill for climb in climbed)])
    page = {
        "weeks": strip(minutes, today),
        "minutes_in_all": sum(shown.values(), NONE),
        "days_practised": len(shown),
        "streak": streak(minutes, today),
        "holding": holding,
        "mastered": tally.mastered - tally.holding,
        "climbs": climbed,
    }
    return render(request, "assignments/progress/my_progress.html", page)


def _climbs(request: StudentRequest) -> ListPage:
    page = page_of(request, fills_with_tempi(request.student), "climbs", CLIMBS_A_PAGE)
    page.object_list = climbs(request.student, list(page)) if page else []
    return page
