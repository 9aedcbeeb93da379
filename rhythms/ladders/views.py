"""Ladders: rule sets in teaching order."""

from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.core.exceptions import BadRequest
from django.db.models import Prefetch, QuerySet
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from rhythms.ladders.forms import LadderForm, StepForm
from rhythms.models import Ladder, LadderStep
from studio import removal_views
from studio.access import owned, owned_or_removed, teacher_required
from studio.once import once
from studio.pagination import page_of
from studio.removal import Removable
from studio.request_types import TeacherRequest

_STEPS = LadderStep.objects.select_related("rule_set", "ladder")
#: A page has so many ladders, each with a page of its steps and a form.
LADDERS, STEPS = 5, 20
_MOVES = {"up": -1, "down": +1}


@require_safe
@teacher_required
def ladders(request: TeacherRequest) -> HttpResponse:
    return _show(request, {})


@require_POST
@teacher_required
@once
def step_add(request: TeacherRequest, pk: int) -> HttpResponse:
    ladder = owned(request, Ladder, pk)
    form = StepForm(request.POST, ladder=ladder, rule_sets=request.studio.rule_sets.kept())
    if not form.is_valid():
        return _show(request, {ladder.pk: form})
    step = form.add()
    messages.success(request, f"“{step}” is now the last step of “{ladder}”.")
    return redirect(_place_of(request, step))


def _steps_of(ladder: int) -> str:
    """What an address calls the number of a page of this ladder's steps."""
    return f"steps-{ladder}"


def _page_with(one: Removable, things: QuerySet, lines: int) -> int:
    """The number of the page that shows one of these things; the first for one that none shows."""
    pks = list(things.values_list("pk", flat=True))
    return pks.index(one.pk) // lines + 1 if one.pk in pks else 1


def _place_of(request: TeacherRequest, step: LadderStep) -> str:
    """The address of a step: its ladder's page, and its page of the ladder's steps."""
    pages = {
        "page": _page_with(step.ladder, request.studio.ladders.kept(), LADDERS),
        _steps_of(step.ladder_id): _page_with(step, step.ladder.steps.kept(), STEPS),
    }
    beyond = {name: number for name, number in pages.items() if number > 1}
    query = f"?{urlencode(beyond)}" if beyond else ""
    return f"{reverse('rhythms:ladders')}{query}#step-{step.pk}"


def _show(request: TeacherRequest, sent: dict[int, StepForm]) -> HttpResponse:
    """All ladders, each with a form for its next step: the one that was sent, or a fresh one."""
    steps = Prefetch("steps", _STEPS.filter(removed_at=None), to_attr="kept_steps")
    page = page_of(request, request.studio.ladders.kept().prefetch_related(steps), lines=LADDERS)
    rule_sets = list(request.studio.rule_sets.kept())
    shown = [
        (
            ladder,
            page_of(request, ladder.kept_steps, _steps_of(ladder.pk), STEPS),
            sent.get(ladder.pk) or StepForm(ladder=ladder, rule_sets=rule_sets),
        )
        for ladder in page
    ]
    shown_page = {"ladders": shown, "page": page, "here": "ladders"}
    return render(request, "rhythms/ladders/ladders.html", shown_page)


@require_POST
@teacher_required
@once
def step_move(request: TeacherRequest, pk: int) -> HttpResponse:
    step = owned(request, _STEPS, pk)
    way = request.POST.get("way", "")
    if way not in _MOVES:
        raise BadRequest(f"A step cannot move {way!r}.")
    step.move(_MOVES[way])
    return redirect(_place_of(request, step))


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def step_remove(request: TeacherRequest, pk: int) -> HttpResponse:
    step = owned(request, _STEPS, pk)
    return removal_views.ask_and_remove(
        request,
        step,
        consequence=(f"It leaves the ladder “{step.ladder}”; the rule set stays."),
        back=reverse("rhythms:ladders"),
        undo=reverse("rhythms:step-restore", args=[pk]),
    )


@require_POST
@teacher_required
def step_restore(request: TeacherRequest, pk: int) -> HttpResponse:
    step = owned_or_removed(request, _STEPS, pk)
    return removal_views.undo(request, step, back=reverse("rhythms:ladders"))


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
@once
def ladder_new(request: TeacherRequest) -> HttpResponse:
    return _edit(request, Ladder(), {"title": "New ladder", "submit": "Save ladder"})


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def ladder_edit(request: TeacherRequest, pk: int) -> HttpResponse:
    ladder = owned(request, Ladder, pk)
    return _edit(request, ladder, {"title": f"Edit {ladder}", "submit": "Save ladder"})


def _edit(request: TeacherRequest, ladder: Ladder, page: dict[str, Any]) -> HttpResponse:
    form = LadderForm(request.POST or None, instance=ladder, studio=request.studio)
    if request.method == "POST" and form.save_or_refuse():
        messages.success(request, f"“{ladder}” is saved.")
        return redirect("rhythms:ladders")
    page |= {"form": form, "back": reverse("rhythms:ladders"), "here": "ladders"}
    return render(request, "rhythms/ladders/ladder_form.html", page)


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def ladder_remove(request: TeacherRequest, pk: int) -> HttpResponse:
    return removal_views.ask_and_remove(
        request,
        owned(request, Ladder, pk),
        consequence="Its rule sets stay.",
        back=reverse("rhythms:ladders"),
        undo=reverse("rhythms:ladder-restore", args=[pk]),
    )


@require_POST
@teacher_required
def ladder_restore(request: TeacherRequest, pk: int) -> HttpResponse:
    ladder = owned_or_removed(request, Ladder, pk)
    return removal_views.undo(request, ladder, back=reverse("rhythms:ladders"))
