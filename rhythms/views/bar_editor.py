"""Writing a bar: as a count line or on the grid, engraved while it changes."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST
from django_htmx.http import reswap, trigger_client_event

from rhythms.engine.fill import snare_fill
from rhythms.forms.bars import BarForm
from rhythms.models import SourceBar
from rhythms.showing import drawn
from rhythms.sketch import Sketch
from studio.access import owned, teacher_required
from studio.requests import TeacherRequest


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def new(request: TeacherRequest) -> HttpResponse:
    return _edit(request, SourceBar(), "New bar")


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def edit(request: TeacherRequest, pk: int) -> HttpResponse:
    bar = owned(request, SourceBar, pk)
    return _edit(request, bar, f"Edit {bar}")


def _edit(request: TeacherRequest, bar: SourceBar, title: str) -> HttpResponse:
    form = BarForm(request.POST or None, instance=bar, studio=request.studio)
    if request.method == "POST" and form.save_or_refuse():
        messages.success(request, f"“{bar}” is saved.")
        return redirect("rhythms:bar", bar.pk)
    counts, meter = form["counts"].value() or "", form["meter"].value() or ""
    page = {"form": form, "title": title, **_page(Sketch.typed(counts, meter))}
    return render(request, "rhythms/bar_editor.html", page)


@require_POST
@teacher_required
def preview(request: TeacherRequest) -> HttpResponse:
    """Draw what is typed or toggled; what cannot be read leaves the last drawing as it is."""
    by_grid = request.GET.get("by") == "grid"
    sketch = Sketch.toggled(request.POST) if by_grid else Sketch.typed_on_page(request.POST)
    response = render(request, "rhythms/bar_preview.html", _page(sketch))
    if sketch.error and not sketch.bar:
        return reswap(response, "none")
    return trigger_client_event(response, "bar-drawn", {"counts": sketch.counts})


def _page(sketch: Sketch) -> dict[str, object]:
    drawing = drawn(snare_fill(sketch.bar), "sketch", counts=True) if sketch.bar else None
    return {"sketch": sketch, "drawing": drawing}
