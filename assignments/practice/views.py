"""A fill's own page and My log: to practise, log, change an entry, call it mastered."""

from datetime import date
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from assignments import text
from assignments.blocks import playable
from assignments.days import today_in
from assignments.device_forms import sent_once
from assignments.fill_pictures import with_pictures
from assignments.fill_queries import with_fills
from assignments.mastery import CLEAN, NOT_CLEAN
from assignments.models import AssignedVariation, PracticeEntry
from assignments.practice import practice_log
from assignments.practice.block_page import bars_shown
from assignments.practice.fill_page import fill_page
from assignments.practice.forms import LogForm
from assignments.student_access import own_entry, own_removed_entry, own_variation
from studio import removal_views
from studio.access import student_required
from studio.pagination import page_of
from studio.request_types import StudentRequest

_VERDICTS = {
    CLEAN: "It came out clean, cold: it holds.",
    NOT_CLEAN: "Not this time, and that is what playing it cold is for: it is in your plan again.",
}


@student_required
@sent_once
def entry_edit(request: StudentRequest, pk: UUID) -> HttpResponse:
    entry = own_entry(request.student, pk)
    today = today_in(request.student.studio)
    form = LogForm.of(entry, request.POST or None, today=today)
    if not form.is_valid():
        return _show_entry(request, entry, form)
    try:
        practice_log.change(entry, form.practised())
    except practice_log.TooLateToChangeError as error:
        form.refuse(error)
        return _show_entry(request, entry, form)
    messages.success(request, f"Changed: {entry}.")
    return redirect("assignments:my-log")


@student_required
@sent_once
def entry_remove(request: StudentRequest, pk: UUID) -> HttpResponse:
    return removal_views.ask_and_remove(
        request,
        own_entry(request.student, pk),
        consequence="Its minutes no longer count.",
        back=reverse("assignments:my-log"),
        undo=reverse("assignments:entry-restore", args=[pk]),
    )


@require_POST
@student_required
@sent_once
def entry_restore(request: StudentRequest, pk: UUID) -> HttpResponse:
    entry = own_removed_entry(request.student, pk)
    return removal_views.undo(request, entry, back=reverse("assignments:my-log"))


def _show_entry(request: StudentRequest, entry: PracticeEntry, form: LogForm) -> HttpResponse:
    today = today_in(request.student.studio)
    page = {
        "entry": entry,
        "form": form,
        "may_change": practice_log.may_change(entry, today),
        "changes": page_of(request, entry.changes.order_by("-at", "-pk")),
    }
    return render(request, "assignments/practice/entry.html", page)


@require_safe
@student_required
def fill(request: StudentRequest, pk: int) -> HttpResponse:
    variation = own_variation(request.student, pk)
    return _show_fill(request, variation, LogForm(fill=variation, today=_today(request)))


@require_POST
@student_required
def log(request: StudentRequest, pk: int) -> HttpResponse:
    variation = own_variation(request.student, pk)
    form = LogForm(request.POST, fill=variation, today=_today(request))
    if not form.is_valid():
        return _show_fill(request, variation, form)
    try:
        entry, _ = practice_log.log(request.student, form.practised())
    except practice_log.LoggedDifferentlyError as error:
        form.refuse(error)
        return _show_fill(request, variation, form)
    removal_views.say_with_undo(request, _logged(entry), _address("entry-remove", entry.pk))
    return redirect("assignments:fill", pk)


@require_POST
@student_required
@sent_once
def master(request: StudentRequest, pk: int) -> HttpResponse:
    variation = own_variation(request.student, pk)
    practice_log.mark_mastered(variation)
    removal_views.say_with_undo(request, f"Mastered: {variation}.", _address("take-back", pk))
    return redirect("assignments:fill", pk)


@require_POST
@student_required
@sent_once
def take_back(request: StudentRequest, pk: int) -> HttpResponse:
    variation = own_variation(request.student, pk)
    practice_log.take_back(variation)
    removal_views.say_with_undo(
        request, f"Not mastered yet: {variation}. It is back on Today.", _address("master", pk)
    )
    return redirect("assignments:fill", pk)


def _show_fill(
    request: StudentRequest, variation: AssignedVariation, form: LogForm
) -> HttpResponse:
    page = fill_page(request.student, variation, form)
    return render(request, "assignments/practice/fill.html", page)


@require_safe
@student_required
def fill_block(request: StudentRequest, pk: int) -> HttpResponse:
    """Every bar of the block, to be read and printed."""
    variation = own_variation(request.student, pk)
    page = {"fill": variation, "bars": bars_shown(variation), "playable": playable(variation)}
    return render(request, "assignments/practice/block.html", page)


def _today(request: StudentRequest) -> date:
    return today_in(request.student.studio)


def _logged(entry: PracticeEntry) -> str:
    at = f" at {entry.tempo}" if entry.tempo else ""
    logged = f"Saved: {text.minutes(entry.minutes)}{at}."
    verdict = entry.mastery_events.kept().last()
    return f"{logged} {_VERDICTS[verdict.kind]}" if verdict else logged


def _address(name: str, pk: object) -> str:
    return reverse(f"assignments:{name}", args=[pk])


@require_safe
@student_required
def my_log(request: StudentRequest) -> HttpResponse:
    mine = PracticeEntry.objects.kept().filter(student=request.student)
    entries = page_of(request, with_fills(mine))
    with_pictures(dict.fromkeys(one.variation for one in entries if one.variation))
    return render(request, "assignments/practice/my_log.html", {"entries": entries})
