"""The library of bars: list, editor, and a bar as paper and files."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe
from django_htmx.http import reswap, trigger_client_event

from rhythms.bars.bar_draft import BarDraft
from rhythms.bars.forms import BarForm
from rhythms.engine import Kit
from rhythms.engine.bars.feel import STRAIGHT
from rhythms.engine.fills.fill import snare_fill
from rhythms.fill_spaces import space_for
from rhythms.ladders.forms import LadderSheetForm
from rhythms.ladders.ladder_sheet import ladder_sheet
from rhythms.models import RuleSet, SourceBar
from rhythms.renderings.display import inline_svg
from rhythms.renderings.download_response import file_name, hand_out, saved
from rhythms.renderings.export_formats import KINDS
from rhythms.renderings.rendering_store import rendering_for, renderings_for, sheet_file
from rhythms.space_sizes import sizes_in_words
from studio import removal_views
from studio.access import owned, owned_or_removed, teacher_required
from studio.once import once
from studio.pagination import found_in, page_of, wanted_in
from studio.request_types import TeacherRequest

_SEARCHED = ("name", "counts", "reference", "meter")
#: A bar of the library has no tempo of its own.
_TEMPO = 100


@require_safe
@teacher_required
def bars(request: TeacherRequest) -> HttpResponse:
    wanted = wanted_in(request)
    kept = request.studio.bars.kept()
    page = page_of(request, found_in(kept, wanted, *_SEARCHED) if wanted else kept)
    renderings = renderings_for([snare_fill(bar.bar) for bar in page], counts=True)
    shown = list(zip(page, renderings, strict=True))
    return render(
        request, "rhythms/bars/bars.html", {"page": page, "bars": shown, "wanted": wanted}
    )


@require_safe
@teacher_required
def bar(request: TeacherRequest, pk: int) -> HttpResponse:
    """One bar, and how many fills each rule set makes of it on a standard kit."""
    bar = owned(request, SourceBar, pk)
    rule_sets = page_of(request, RuleSet.objects.kept().filter(studio=request.studio))
    spaces = (space_for(bar, each, Kit.standard()) for each in rule_sets)
    sizes = list(zip(rule_sets, sizes_in_words(spaces), strict=True))
    rendering = rendering_for(snare_fill(bar.bar), counts=True)
    kinds = [(kind.ending, kind.label) for kind in KINDS.values()]
    page = {"bar": bar, "rendering": rendering, "kinds": kinds}
    page |= {"sizes": sizes, "page": rule_sets}
    return render(request, "rhythms/bars/bar.html", page)


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def bar_remove(request: TeacherRequest, pk: int) -> HttpResponse:
    return removal_views.ask_and_remove(
        request,
        owned(request, SourceBar, pk),
        consequence=("It leaves your library. Students keep the fills they have of it."),
        back=reverse("rhythms:bars"),
        undo=reverse("rhythms:bar-restore", args=[pk]),
    )


@require_POST
@teacher_required
def bar_restore(request: TeacherRequest, pk: int) -> HttpResponse:
    kept = owned_or_removed(request, SourceBar, pk)
    return removal_views.undo(request, kept, back=reverse("rhythms:bars"))


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
@once
def bar_new(request: TeacherRequest) -> HttpResponse:
    """What the address has of it, `counts` and `meter`, is filled in."""
    begun = {name: request.GET[name] for name in ("counts", "meter") if name in request.GET}
    return _edit(request, SourceBar(**begun), "New bar")


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def bar_edit(request: TeacherRequest, pk: int) -> HttpResponse:
    bar = owned(request, SourceBar, pk)
    return _edit(request, bar, f"Edit {bar}")


def _edit(request: TeacherRequest, bar: SourceBar, title: str) -> HttpResponse:
    form = BarForm(request.POST or None, instance=bar, studio=request.studio)
    if request.method == "POST" and form.save_or_refuse():
        messages.success(request, f"“{bar}” is saved.")
        return redirect("rhythms:bar", bar.pk)
    counts, meter = form["counts"].value() or "", form["meter"].value() or ""
    page = {"form": form, "title": title, **_page(BarDraft.typed(counts, meter))}
    return render(request, "rhythms/bars/bar_editor.html", page)


@require_POST
@teacher_required
def bar_preview(request: TeacherRequest) -> HttpResponse:
    """Draw what is typed or toggled; what cannot be read leaves the last drawing as it is."""
    by_grid = request.GET.get("by") == "grid"
    sketch = BarDraft.toggled(request.POST) if by_grid else BarDraft.typed_on_page(request.POST)
    response = render(request, "rhythms/bars/bar_preview.html", _page(sketch))
    if not sketch.bar and (sketch.error or sketch.meter_error):
        return reswap(response, "none")
    return trigger_client_event(response, "bar-drawn", {"counts": sketch.counts})


def _page(sketch: BarDraft) -> dict[str, object]:
    drawing = inline_svg(snare_fill(sketch.bar), "sketch", counts=True) if sketch.bar else None
    return {"sketch": sketch, "drawing": drawing}


@require_safe
@teacher_required
def bar_sheet(request: TeacherRequest, pk: int) -> HttpResponse:
    bar = owned(request, SourceBar, pk)
    return _ask(request, bar, LadderSheetForm(studio=request.studio))


@require_safe
@teacher_required
def bar_pdf(request: TeacherRequest, pk: int) -> HttpResponseBase:
    bar = owned(request, SourceBar, pk)
    form = LadderSheetForm(request.GET, studio=request.studio)
    if not form.is_valid():
        return _ask(request, bar, form)
    wanted = form.wanted(bar)
    subject = f"ladder {wanted.ladder.pk} of bar {bar.pk}, {form.look.subject}"
    name = file_name(f"{bar}, {wanted.ladder}", "pdf")
    sheet = sheet_file(ladder_sheet(wanted, form.look), subject)
    return hand_out(request, sheet, name, wanted.student or request.studio, _back(bar))


@require_safe
@teacher_required
def bar_file(request: TeacherRequest, pk: int, kind: str) -> HttpResponse:
    """The bar alone: on the snare, with its accents."""
    bar = owned(request, SourceBar, pk)
    if kind not in KINDS:
        raise Http404
    _, _, media_type, made = KINDS[kind]
    return saved(made(snare_fill(bar.bar), _TEMPO, STRAIGHT), file_name(bar, kind), media_type)


def _ask(request: TeacherRequest, bar: SourceBar, form: LadderSheetForm) -> HttpResponse:
    page: dict[str, Any] = {
        "form": form,
        "title": f"{bar} on paper",
        "intro": "Some fills of each step of a ladder, in teaching order, on one sheet.",
        "pdf": reverse("rhythms:bar-pdf", args=[bar.pk]),
        "back": _back(bar),
    }
    return render(
        request, "rhythms/sheets/sheet_form.html", page, status=422 if form.errors else 200
    )


def _back(bar: SourceBar) -> str:
    return reverse("rhythms:bar", args=[bar.pk])
