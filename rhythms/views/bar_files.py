"""A bar of the library on paper, and as files for other programs."""

from typing import Any

from django.http import Http404, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from rhythms.engine.fill import snare_fill
from rhythms.forms.sheets import LadderSheetForm
from rhythms.handing_out import file_name, hand_out, saved
from rhythms.ladder_paper import ladder_sheet
from rhythms.models import SourceBar
from rhythms.rendering import sheet_rendering
from rhythms.taking_along import KINDS
from studio.access import owned, teacher_required
from studio.requests import TeacherRequest

#: A bar of the library has no tempo of its own.
_TEMPO = 100


@require_safe
@teacher_required
def sheet(request: TeacherRequest, pk: int) -> HttpResponse:
    bar = owned(request, SourceBar, pk)
    return _ask(request, bar, LadderSheetForm(studio=request.studio))


@require_safe
@teacher_required
def sheet_pdf(request: TeacherRequest, pk: int) -> HttpResponseBase:
    bar = owned(request, SourceBar, pk)
    form = LadderSheetForm(request.GET, studio=request.studio)
    if not form.is_valid():
        return _ask(request, bar, form)
    wanted = form.wanted(bar)
    made = sheet_rendering(ladder_sheet(wanted, form.look))
    name = file_name(f"{bar}, {wanted.ladder}", "pdf")
    return hand_out(request, made, name, request.studio.pk, _back(bar))


@require_safe
@teacher_required
def file(request: TeacherRequest, pk: int, kind: str) -> HttpResponse:
    """The bar alone: on the snare, with its accents."""
    bar = owned(request, SourceBar, pk)
    if kind not in KINDS:
        raise Http404
    _, _, media_type, made = KINDS[kind]
    return saved(made(snare_fill(bar.bar), _TEMPO), file_name(bar, kind), media_type)


def _ask(request: TeacherRequest, bar: SourceBar, form: LadderSheetForm) -> HttpResponse:
    page: dict[str, Any] = {
        "form": form,
        "title": f"{bar} on paper",
        "intro": "Some fills of each step of a ladder, in teaching order, on one sheet.",
        "pdf": reverse("rhythms:bar-pdf", args=[bar.pk]),
        "back": _back(bar),
    }
    return render(request, "rhythms/sheet_form.html", page, status=422 if form.errors else 200)


def _back(bar: SourceBar) -> str:
    return reverse("rhythms:bar", args=[bar.pk])
