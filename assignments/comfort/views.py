"""What students keep coming back to, one by one and side by side, and the way out of it."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from assignments.comfort.comfort_page import ComfortPage
from assignments.comfort.studio_comparison import COLUMNS, Order, compare_students, ordered, pairs
from assignments.comfort.way_out import way_out_of
from assignments.days import today_in
from studio.access import student_of, student_required, teacher_required
from studio.request_types import StudentRequest, TeacherRequest


@require_safe
@teacher_required
def comfort(request: TeacherRequest) -> HttpResponse:
    """Every student in a table, to be sorted by any of its columns (`?sort=-variety`)."""
    rows, order = (
        compare_students(request.studio, today_in(request.studio)),
        Order.parse(request.GET.get("sort", "")),
    )
    page = {"rows": ordered(rows, order), "columns": COLUMNS, "order": order, "pairs": pairs(rows)}
    return render(request, "assignments/comfort/studio_comparison.html", page)


@require_safe
@teacher_required
def student_comfort(request: TeacherRequest, pk: int) -> HttpResponse:
    one = student_of(request, pk)
    page = {"page": ComfortPage(one, today_in(request.studio)), "student": one}
    return render(request, "assignments/comfort/comfort.html", page)


@require_safe
@student_required
def my_playing(request: StudentRequest) -> HttpResponse:
    one = request.student
    page = {"page": ComfortPage(one, today_in(one.studio)), "student": one}
    return render(request, "assignments/comfort/comfort.html", page)


@require_safe
@teacher_required
def way_out(request: TeacherRequest, pk: int) -> HttpResponse:
    """Go to the assign page with fills drawn that lead out of the student's comfort zone."""
    one = student_of(request, pk)
    found = way_out_of(one, today_in(request.studio))
    address = reverse("assignments:assign")
    if found is None:
        messages.info(
            request,
            f"Nothing that {one} was given leads further at their tempo. Choose a bar and a rule "
            "set here.",
        )
        return redirect(f"{address}?students={one.pk}&away=1")
    return redirect(address + found.query(one))
