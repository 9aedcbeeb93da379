"""A fill's page, and what a student does there."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from assignments import practice, words
from assignments.blocks import playable
from assignments.days import today_in
from assignments.forms.log import LogForm
from assignments.models import AssignedVariation, PracticeEntry
from assignments.own import own_variation
from assignments.playing import beside
from assignments.standing import CLEAN, NOT_CLEAN
from studio import removing
from studio.access import student_required
from studio.requests import StudentRequest

_VERDICTS = {
    CLEAN: "It came out clean, cold: it holds.",
    NOT_CLEAN: "Not this time, and that is what playing it cold is for: it is in your plan again.",
}


@require_safe
@student_required
def fill(request: StudentRequest, pk: int) -> HttpResponse:
    variation = own_variation(request.student, pk)
    return _show(request, variation, LogForm(fill=variation, today=_today(request)))


@require_POST
@student_required
def log(request: StudentRequest, pk: int) -> HttpResponse:
    variation = own_variation(request.student, pk)
    form = LogForm(request.POST, fill=variation, today=_today(request))
    if not form.is_valid():
        return _show(request, variation, form)
    try:
        entry, _ = practice.log(request.student, form.practised())
    except practice.LoggedDifferentlyError as error:
        form.refuse(error)
        return _show(request, variation, form)
    removing.say_with_undo(request, _logged(entry), _address("entry-remove", entry.pk))
    return redirect("assignments:fill", pk)


@require_POST
@student_required
def master(request: StudentRequest, pk: int) -> HttpResponse:
    variation = own_variation(request.student, pk)
    practice.mark_mastered(variation)
    removing.say_with_undo(request, f"Mastered: {variation}.", _address("take-back", pk))
    return redirect("assignments:fill", pk)


@require_POST
@student_required
def take_back(request: StudentRequest, pk: int) -> HttpResponse:
    variation = own_variation(request.student, pk)
    practice.take_back(variation)
    messages.success(request, f"Back on Today: {variation}.")
    return redirect("assignments:fill", pk)


def _show(request: StudentRequest, variation: AssignedVariation, form: LogForm) -> HttpResponse:
    before, after = beside(request.student, variation)
    page = {
        "fill": variation,
        "assignment": variation.assignment,
        "playable": playable(variation),
        "form": form,
        "before": before,
        "after": after,
    }
    return render(request, "assignments/fill.html", page)


def _today(request: StudentRequest):
    return today_in(request.student.studio)


def _logged(entry: PracticeEntry) -> str:
    at = f" at {entry.tempo}" if entry.tempo else ""
    logged = f"Logged: {words.minutes(entry.minutes)}{at}."
    verdict = entry.mastery_events.kept().last()
    return f"{logged} {_VERDICTS[verdict.kind]}" if verdict else logged


def _address(name: str, pk: object) -> str:
    return reverse(f"assignments:{name}", args=[pk])
