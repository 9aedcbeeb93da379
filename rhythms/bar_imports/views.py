"""Taking bars from a file: upload, wait, look, pick and name."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe
from django_htmx.http import HttpResponseClientRefresh

from rhythms.bar_imports.forms import FileForm, PickForm, base_name
from rhythms.bar_imports.import_store import different_bars, with_names_in
from rhythms.bar_imports.measure_text import notes, where
from rhythms.engine.fills.fill import snare_fill
from rhythms.models import BarImport
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
    found = with_names_in(request.studio, different_bars(imported.read))
    form = PickForm(
        request.POST if request.method == "POST" else None,
        studio=request.studio,
        found=found,
        base=base_name(imported),
    )
    if request.method == "POST" and form.is_valid() and (kept := form.keep()):
        number = f"{len(kept)} bars are" if len(kept) > 1 else f"“{kept[0]}” is"
        messages.success(request, f"{number} in your library.")
        return redirect("rhythms:bars")
    return render(request, "rhythms/bar_imports/bar_import_pick.html", _page(imported, form))


@require_safe
@teacher_required
def bar_import_state(request: TeacherRequest, pk: UUID) -> HttpResponse:
    """For the page that waits: 204 until there is something to show."""
    imported = owned(request, BarImport.objects.defer("data", "reading"), pk)
    if imported.state == BarImport.State.WAITING:
        return HttpResponse(status=204)
    return HttpResponseClientRefresh()


def _page(imported: BarImport, form: PickForm) -> dict[str, Any]:
    reading = imported.read
    renderings = renderings_for([snare_fill(found.bar) for found in form.found], counts=True)
    rows = [
        {
            "found": found,
            "keep": keep,
            "name": name,
            "where": where(reading, found.measures),
            "notes": notes(reading, found.measures),
            "rendering": rendering,
        }
        for (found, keep, name), rendering in zip(form.rows(), renderings, strict=True)
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
