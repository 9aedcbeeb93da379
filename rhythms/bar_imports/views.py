"""Taking bars from a file: upload, wait, look, pick and name."""

from collections.abc import Iterator, Sequence
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe
from django_htmx.http import HttpResponseClientRefresh

from rhythms.bar_imports.forms import FileForm, PickForm, base_name
from rhythms.bar_imports.import_store import FoundBar, Kept, different_bars, with_names_in
from rhythms.bar_imports.measure_text import notes, where
from rhythms.models import BarImport, RuleSet, SourceBar, StudioGroove
from rhythms.notation.reading import Reading
from rhythms.renderings.rendering_store import renderings_for
from studio.access import owned, teacher_required
from studio.once import once
from studio.request_types import TeacherRequest

FILES_LISTED = 8


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
@once
def bar_import(request: TeacherRequest) -> HttpResponse:
    form = FileForm(request.POST or None, request.FILES or None, studio=request.studio)
    if request.method == "POST":
        form = FileForm(request.POST, request.FILES, studio=request.studio)
        if form.is_valid():
            return redirect("rhythms:bar-import-file", form.take_in().pk)
    earlier = request.studio.bar_imports.defer("data", "reading")[:FILES_LISTED]
    return render(
        request, "rhythms/bar_imports/bar_import.html", {"form": form, "earlier": earlier}
    )


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
@once
def bar_import_file(request: TeacherRequest, pk: UUID) -> HttpResponse:
    """A file that is being read, or could not be, or its bars to pick from."""
    imported = owned(request, BarImport.objects.defer("data"), pk)
    if imported.state != BarImport.State.DONE:
        return render(
            request, "rhythms/bar_imports/bar_import_waiting.html", {"imported": imported}
        )
    reading = imported.read
    found = with_names_in(request.studio, different_bars(reading))
    form = PickForm(
        request.POST if request.method == "POST" else None,
        studio=request.studio,
        reading=reading,
        found=found,
        base=base_name(imported),
    )
    if request.method == "POST" and form.is_valid() and (kept := form.keep()):
        for words in _said(kept):
            messages.success(request, words)
        only_grooves = all(isinstance(one, StudioGroove) for one in kept)
        return redirect("rhythms:grooves" if only_grooves else "rhythms:bars")
    page = _page(imported, reading, form)
    return render(request, "rhythms/bar_imports/bar_import_pick.html", page)


_PLACES = (
    (SourceBar, "in your library"),
    (StudioGroove, "among your grooves"),
    (RuleSet, "among your rule sets: assign it with the bar that its note names"),
)


def _said(kept: Sequence[Kept]) -> Iterator[str]:
    """What was kept where: bars, grooves and rule sets have places of their own."""
    for model, place in _PLACES:
        some = [one for one in kept if isinstance(one, model)]
        if some:
            several = f"{len(some)} {model._meta.verbose_name_plural} are"
            yield f"{several if len(some) > 1 else f'“{some[0]}” is'} {place}."


@require_safe
@teacher_required
def bar_import_state(request: TeacherRequest, pk: UUID) -> HttpResponse:
    """For the page that waits: 204 until there is something to show."""
    imported = owned(request, BarImport.objects.defer("data", "reading"), pk)
    if imported.state == BarImport.State.WAITING:
        return HttpResponse(status=204)
    return HttpResponseClientRefresh()


def _page(imported: BarImport, reading: Reading, form: PickForm) -> dict[str, Any]:
    renderings = renderings_for([found.shown for found in form.found], counts=True)
    rows = [
        {
            **row._asdict(),
            "where": where(reading, row.found.measures),
            "notes": notes(reading, row.found.measures),
            "others": _on_other_drums(reading, row.found),
            "rendering": rendering,
        }
        for row, rendering in zip(form.rows(), renderings, strict=True)
    ]
    shown = sum(len(found.measures) for found in form.found)
    with_bars = [measure for measure in reading.measures if measure.bar is not None]
    without = [measure for measure in reading.measures if measure.bar is None]
    return {
        "imported": imported,
        "reading": reading,
        "form": form,
        "rows": rows,
        "beyond": len(with_bars) - shown,
        "without": notes(reading, without),
    }


def _on_other_drums(reading: Reading, found: FoundBar) -> str:
    """Where the rhythm that is shown is struck on other drums; "" where it is nowhere."""
    others = list(found.fills.values())[1:]
    measures = [measure for measure in found.measures if any(measure in other for other in others)]
    return where(reading, measures) if measures else ""
