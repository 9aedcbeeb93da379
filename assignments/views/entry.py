"""One entry of a student's log: to change it, remove it, and bring it back."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from assignments import practice
from assignments.days import today_in
from assignments.forms.log import LogForm
from assignments.models import PracticeEntry
from assignments.own import own_entry, own_removed_entry
from studio import removing
from studio.access import student_required
from studio.requests import StudentRequest


@student_required
def edit(request: StudentRequest, pk: UUID) -> HttpResponse:
    entry = own_entry(request.student, pk)
    today = today_in(request.student.studio)
    form = LogForm.of(entry, request.POST or None, today=today)
    if not form.is_valid():
        return _show(request, entry, form)
    try:
        practice.change(entry, form.practised())
    except practice.TooLateToChangeError as error:
        form.refuse(error)
        return _show(request, entry, form)
    messages.success(request, f"Changed: {entry}.")
    return redirect("assignments:my-log")


@student_required
def remove(request: StudentRequest, pk: UUID) -> HttpResponse:
    return removing.ask_and_remove(
        request,
        own_entry(request.student, pk),
        consequence="Its minutes no longer count. You can undo this right after.",
        back=reverse("assignments:my-log"),
        undo=reverse("assignments:entry-restore", args=[pk]),
    )


@require_POST
@student_required
def restore(request: StudentRequest, pk: UUID) -> HttpResponse:
    entry = own_removed_entry(request.student, pk)
    return removing.undo(request, entry, back=reverse("assignments:my-log"))


def _show(request: StudentRequest, entry: PracticeEntry, form: LogForm) -> HttpResponse:
    today = today_in(request.student.studio)
    page = {
        "entry": entry,
        "form": form,
        "may_change": practice.may_change(entry, today),
        "changes": entry.changes.order_by("-at", "-pk"),
    }
    return render(request, "assignments/entry.html", page)
