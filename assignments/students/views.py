"""The roster, and the page of one student with all that the teacher changes there."""

from typing import cast

from django.contrib import messages
from django.db import transaction
from django.db.models import prefetch_related_objects
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from assignments import text
from assignments.comfort.comfort_zones import comfort_zone_of
from assignments.comfort.zone_changes import ask_for_outdated
from assignments.days import next_lesson, today_in
from assignments.fill_names import rename
from assignments.fill_pictures import with_pictures
from assignments.fill_queries import fills_of, groups_on, in_order, with_fills
from assignments.models import AssignedVariation, Assignment, PracticeEntry
from assignments.models.variation import VariationQuerySet
from assignments.practice import practice_log
from assignments.progress.practice_calendar import days_of_strip, strip
from assignments.progress.student_totals import minutes_by_day
from assignments.student_grooves import grooves_of, set_grooves
from assignments.students.forms import FillNameForm, GrooveListForm
from assignments.students.lesson_summary import SinceLesson
from assignments.students.roster import roster_of
from studio import removal_views
from studio.access import owned, owned_or_removed, student_of, teacher_required
from studio.models import Teacher
from studio.pagination import page_of, wanted_in
from studio.request_types import TeacherRequest

FILLS_A_PAGE = 40
#: What was assigned and logged lately; with more of it, the page is too long for a phone.
ASSIGNED_A_PAGE, ENTRIES_A_PAGE = 6, 8


@require_safe
@teacher_required
def roster(request: TeacherRequest) -> HttpResponse:
    wanted = wanted_in(request)
    rows = roster_of(request.studio, today_in(request.studio), wanted)
    shown = page_of(request, rows)
    ask_for_outdated({row.student: row.comfort for row in rows})
    return render(request, "assignments/students/roster.html", {"page": shown, "wanted": wanted})


@require_safe
@teacher_required
def student(request: TeacherRequest, pk: int) -> HttpResponse:
    student = student_of(request, pk)
    today = today_in(request.studio)
    fills = list(fills_of(student).for_lists())
    minutes = minutes_by_day([student], days_of_strip(today))[student.pk]
    entries = PracticeEntry.objects.kept().filter(student=student)
    assignments = Assignment.objects.kept().filter(student=student)
    shown = page_of(request, in_order(fills), "fills", FILLS_A_PAGE)
    prefetch_related_objects(list(shown), "mastery_events")
    logged = page_of(request, with_fills(entries), lines=ENTRIES_A_PAGE)
    with_pictures([*shown, *(entry.variation for entry in logged if entry.variation)])
    comfort = comfort_zone_of(student, today)
    ask_for_outdated({student: comfort})
    page = {
        "student": student,
        "since": SinceLesson(student, today, fills),
        "next_lesson": text.upcoming(next_lesson(student, today), today),
        "fills": shown,
        "states": groups_on(shown, fills),
        "assignments": page_of(
            request,
            assignments.with_tally().order_by("-created_at", "-pk"),
            "assigned",
            ASSIGNED_A_PAGE,
        ),
        "weeks": strip(minutes, today),
        "comfort": comfort,
        "grooves": grooves_of([pk])[pk],
        "entries": logged,
    }
    return render(request, "assignments/students/student.html", page)


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def student_grooves(request: TeacherRequest, pk: int) -> HttpResponse:
    """Choose them (GET); keep the choice (POST)."""
    student = student_of(request, pk)
    if request.method == "POST":
        form = GrooveListForm(request.POST, studio=request.studio)
        if form.is_valid():
            chosen = form.chosen()
            with transaction.atomic():
                set_grooves(student, chosen)
            messages.success(request, f"{student} works with {text.count(len(chosen), 'groove')}.")
            return redirect("assignments:student", pk)
    else:
        now = [listed.value for listed in grooves_of([pk])[pk]]
        form = GrooveListForm(initial={"grooves": now}, studio=request.studio)
    page = {"student": student, "form": form}
    return render(request, "assignments/students/student_grooves.html", page)


@teacher_required
def assignment_remove(request: TeacherRequest, pk: int) -> HttpResponse:
    assignment = owned(request, Assignment.objects.select_related("student"), pk)
    student = assignment.student
    return removal_views.ask_and_remove(
        request,
        assignment,
        consequence=(f"{student} no longer has its fills. What was logged on them is kept."),
        back=_page_of(student.pk),
        undo=reverse("assignments:assignment-restore", args=[pk]),
    )


@require_POST
@teacher_required
def assignment_restore(request: TeacherRequest, pk: int) -> HttpResponse:
    assignment = owned_or_removed(request, Assignment, pk)
    return removal_views.undo(request, assignment, back=_page_of(assignment.student_id))


@teacher_required
def variation_remove(request: TeacherRequest, pk: int) -> HttpResponse:
    variation = owned(request, _variations().kept(), pk)
    student = variation.assignment.student
    return removal_views.ask_and_remove(
        request,
        variation,
        consequence=(f"{student} no longer has this fill. What was logged on it is kept."),
        back=_page_of(student.pk),
        undo=reverse("assignments:variation-restore", args=[pk]),
    )


@require_POST
@teacher_required
def variation_restore(request: TeacherRequest, pk: int) -> HttpResponse:
    variation = owned_or_removed(request, _variations(), pk)
    return removal_views.undo(request, variation, back=_page_of(variation.assignment.student_id))


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def variation_name(request: TeacherRequest, pk: int) -> HttpResponse:
    """Call a fill otherwise; a name that cannot be is asked for anew, with what was typed."""
    variation = owned(request, _variations().kept(), pk)
    back = _page_of(variation.assignment.student_id)
    form = FillNameForm(request.POST or None, initial={"name": variation.name})
    if request.method == "POST" and form.is_valid():
        if rename(variation, form.cleaned_data["name"]):
            messages.success(request, f"It is called {variation} now.")
            return redirect(back)
        form.refuse()
    page = {"title": f"Rename {variation}", "form": form, "submit": "Save", "back": back}
    return render(request, "form_page.html", page, status=422 if form.errors else 200)


@require_POST
@teacher_required
def variation_confirm(request: TeacherRequest, pk: int) -> HttpResponse:
    variation = owned(request, _variations().kept(), pk)
    practice_log.confirm(variation, cast(Teacher, request.user))
    messages.success(request, f"Confirmed: {variation} holds.")
    return redirect(_page_of(variation.assignment.student_id))


@require_POST
@teacher_required
def variation_take_back(request: TeacherRequest, pk: int) -> HttpResponse:
    variation = owned(request, _variations().kept(), pk)
    practice_log.take_back(variation, cast(Teacher, request.user))
    messages.success(request, f"Taken back: {variation} is in the plan again.")
    return redirect(_page_of(variation.assignment.student_id))


def _variations() -> VariationQuerySet:
    return AssignedVariation.objects.select_related("assignment__student")


def _page_of(student_pk: int) -> str:
    return reverse("assignments:student", args=[student_pk])
