"""What students keep coming back to, one by one and side by side, and the way out of it."""

from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from assignments.comfort.comfort_page import ComfortPage
from assignments.comfort.studio_comparison import (
    COLUMNS,
    Order,
    called,
    compare_students,
    ordered,
    pairs,
)
from assignments.comfort.tasks import refresh_comfort_zone, refresh_some, refresh_studio
from assignments.comfort.view_choice import View
from assignments.comfort.way_out import WayOut, way_out_for
from assignments.comfort.zone_changes import ask_for_outdated
from assignments.days import today_in
from assignments.device_forms import sent_once
from assignments.text import count
from studio import task_queue
from studio.access import student_of, student_required, teacher_required
from studio.models import Student
from studio.pagination import page_of, wanted_in
from studio.request_types import StudentRequest, TeacherRequest

#: Without a worker, whoever asks for the zones of the studio waits about so long.
SECONDS_TO_LOOK = 5.0


@require_safe
@teacher_required
def comfort(request: TeacherRequest) -> HttpResponse:
    """Every student in a table, to be sorted by any of its columns (`?sort=-variety`)."""
    wanted = wanted_in(request)
    rows = compare_students(request.studio, today_in(request.studio))
    order = Order.parse(request.GET.get("sort", ""))
    ask_for_outdated({row.student: row.comfort for row in rows})
    page = {
        "page": page_of(request, ordered(called(rows, wanted), order)),
        "wanted": wanted,
        "columns": COLUMNS,
        "order": order,
        "pairs": pairs(rows),
        "outdated": sum(not row.comfort.is_current for row in rows),
        "has_worker": task_queue.has_worker(),
    }
    return render(request, "assignments/comfort/studio_comparison.html", page)


@require_POST
@teacher_required
def comfort_look(request: TeacherRequest) -> HttpResponse:
    """Have the outdated zones of the studio made: by the worker, else some of them at once."""
    if task_queue.has_worker():
        task_queue.enqueue_on_commit(refresh_studio, [request.studio.pk])
        messages.info(request, "The takes are being looked at. It shows here in a few minutes.")
    else:
        made, left = refresh_some(request.studio, SECONDS_TO_LOOK)
        more = f" {left} are left: press it again." if left else ""
        messages.success(request, f"Looked at the takes of {count(made, 'student')}.{more}")
    return redirect("assignments:comfort")


@require_safe
@teacher_required
def student_comfort(request: TeacherRequest, pk: int) -> HttpResponse:
    one = student_of(request, pk)
    look = reverse("assignments:student-comfort-look", args=[pk])
    return _show(request, one, look)


@require_POST
@teacher_required
def student_comfort_look(request: TeacherRequest, pk: int) -> HttpResponse:
    """Have one student's zone made now."""
    one = student_of(request, pk)
    task_queue.enqueue_on_commit(refresh_comfort_zone, [one.pk])
    return redirect("assignments:student-comfort", pk)


@require_safe
@student_required
def my_playing(request: StudentRequest) -> HttpResponse:
    return _show(request, request.student, reverse("assignments:my-playing-look"))


@require_POST
@student_required
@sent_once
def my_playing_look(request: StudentRequest) -> HttpResponse:
    """Have the student's own zone made now."""
    task_queue.enqueue_on_commit(refresh_comfort_zone, [request.student.pk])
    return redirect("assignments:my-playing")


def _show(request: TeacherRequest | StudentRequest, student: Student, look: str) -> HttpResponse:
    """The page; what is outdated is asked of the worker, or of whoever presses a button."""
    today = today_in(student.studio)
    view = View.asked(student, request.GET, today)
    page = ComfortPage(student, today, view, is_own=request.studio is None)
    ask_for_outdated({page.student: page.comfort})
    shown = {
        "page": page,
        "student": student,
        "look": look,
        "has_worker": task_queue.has_worker(),
    }
    return render(request, "assignments/comfort/comfort.html", shown)


@require_safe
@teacher_required
def way_out(request: TeacherRequest, pk: int) -> HttpResponse:
    """Go to the assign page with fills drawn that lead out of the student's comfort zone."""
    one = student_of(request, pk)
    found = way_out_for(one, today_in(request.studio))
    address = reverse("assignments:assign")
    if isinstance(found, WayOut):
        return redirect(address + found.query(one))
    if found is None:
        messages.info(
            request,
            f"Nothing new that {one} could play at their tempo was found. Choose a bar and a rule "
            "set here.",
        )
        return redirect(f"{address}?students={one.pk}&away=1")
    messages.info(
        request,
        f"No bar of your library leads further. This is a rhythm that {one} plays: save it as a "
        "bar, then draw the way out again.",
    )
    return redirect(f"{reverse('rhythms:bar-new')}?{urlencode(found._asdict())}")
