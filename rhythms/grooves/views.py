"""Grooves: those of the library and of the studio, one by one, and their editor."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe
from django_htmx.http import reswap, trigger_client_event

from rhythms.engine.playback.groove_fill import groove_fill
from rhythms.engine.playback.groove_library import styles
from rhythms.engine.playback.groove_pattern import GroovePattern
from rhythms.forms import METERS
from rhythms.grooves.forms import GrooveForm
from rhythms.grooves.groove_draft import LINE, SETUP, GrooveDraft, field_name
from rhythms.grooves.groove_grid import GrooveGrid, groove_grid, sent_names, turned
from rhythms.grooves.groove_list import ListedGroove, Wish, by_slug, engraved, wanted_grooves
from rhythms.models import StudioGroove
from rhythms.renderings.display import inline_svg
from rhythms.renderings.download_response import file_name, saved
from rhythms.renderings.export_formats import KINDS
from studio import removal_views
from studio.access import owned, owned_or_removed, teacher_required
from studio.forms import number_in
from studio.once import once
from studio.pagination import page_of, wanted_in
from studio.request_types import TeacherRequest


@require_safe
@teacher_required
def grooves(request: TeacherRequest) -> HttpResponse:
    wish = Wish.asked(request.GET, wanted_in(request))
    page = page_of(request, wanted_grooves(request.studio, wish))
    shown = {"page": page, "grooves": engraved(page), "wish": wish, "wanted": wish.words}
    return render(
        request, "rhythms/grooves/grooves.html", shown | {"styles": styles(), "meters": METERS}
    )


@require_safe
@teacher_required
def library_groove(request: TeacherRequest, slug: str) -> HttpResponse:
    return _show(request, ListedGroove(_of_library(slug)))


@require_safe
@teacher_required
def groove(request: TeacherRequest, pk: int) -> HttpResponse:
    return _show(request, ListedGroove.own(owned(request, StudioGroove, pk)))


def _of_library(slug: str) -> GroovePattern:
    try:
        return by_slug()[slug]
    except KeyError as error:
        raise Http404 from error


def _show(request: TeacherRequest, listed: ListedGroove) -> HttpResponse:
    kinds = [(kind.label, f"{listed.address}groove.{kind.ending}") for kind in KINDS.values()]
    page = {"groove": engraved([listed])[0], "listed": listed, "pattern": listed.pattern}
    return render(request, "rhythms/grooves/groove.html", page | {"kinds": kinds})


@require_safe
@teacher_required
def library_groove_file(request: TeacherRequest, slug: str, kind: str) -> HttpResponse:
    return _file(_of_library(slug), kind)


@require_safe
@teacher_required
def groove_file(request: TeacherRequest, pk: int, kind: str) -> HttpResponse:
    return _file(owned(request, StudioGroove, pk).pattern, kind)


def _file(pattern: GroovePattern, kind: str) -> HttpResponse:
    if kind not in KINDS:
        raise Http404
    _, _, media_type, made = KINDS[kind]
    content = made(groove_fill(pattern.groove), pattern.middle_tempo, pattern.feel)
    return saved(content, file_name(pattern.name, kind), media_type)


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
@once
def groove_new(request: TeacherRequest) -> HttpResponse:
    """An empty one, or a copy of one of the library or of the studio."""
    copied = _copied(request)
    if copied and request.method != "POST":
        form = GrooveForm.copied(copied, studio=request.studio)
        return _ask(request, form, f"A copy of {copied.name}")
    return _edit(request, StudioGroove(), "New groove")


def _copied(request: TeacherRequest) -> GroovePattern | None:
    """The groove that the address names to start from."""
    if slug := request.GET.get("library"):
        return _of_library(slug)
    if pk := number_in(request.GET.get("own", "")):
        return owned(request, StudioGroove, pk).pattern
    return None


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def groove_edit(request: TeacherRequest, pk: int) -> HttpResponse:
    kept = owned(request, StudioGroove, pk)
    return _edit(request, kept, f"Edit {kept}")


def _edit(request: TeacherRequest, kept: StudioGroove, title: str) -> HttpResponse:
    form = GrooveForm(request.POST or None, instance=kept, studio=request.studio)
    if request.method == "POST" and form.save_or_refuse():
        messages.success(request, f"“{kept}” is saved.")
        return redirect("rhythms:groove", kept.pk)
    return _ask(request, form, title)


def _ask(request: TeacherRequest, form: GrooveForm, title: str) -> HttpResponse:
    page = {"form": form, "title": title, **_drawn(form.draft)}
    return render(request, "rhythms/grooves/groove_editor.html", page)


@require_POST
@teacher_required
def groove_preview(request: TeacherRequest) -> HttpResponse:
    """Draw what is typed, or touched on the grid; what cannot be played leaves the last drawing."""
    on_page = request.POST.copy()
    written: dict[str, str] = {}
    for part in (LINE, SETUP):
        _, turns = sent_names(part)
        lines = turned(GrooveDraft.typed(on_page), on_page.getlist(turns), part)
        written |= {field_name(part, drum): text for drum, text in lines.items()}
        on_page.update(written)
    form = GrooveForm(on_page, instance=StudioGroove(), studio=request.studio)
    page = {"form": form, **_drawn(form.draft, on_page)}
    response = render(request, "rhythms/grooves/groove_preview.html", page)
    trigger_client_event(response, "groove-drawn", {"lines": written})
    return response if form.draft.groove else reswap(response, "none")


def _drawn(draft: GrooveDraft, on_page: QueryDict | None = None) -> dict[str, Any]:
    """`on_page`: what was chosen on the grids, beat by beat."""
    drawings = [
        inline_svg(fill, f"sketch{number}", True, draft.feel)
        for number, fill in enumerate(draft.fills)
    ]
    grids = [_grid(draft, on_page, part) for part in (LINE, SETUP)]
    return {"draft": draft, "drawings": drawings, "grid": grids[0], "setup_grid": grids[1]}


def _grid(draft: GrooveDraft, on_page: QueryDict | None, part: str) -> GrooveGrid | None:
    divisions, _ = sent_names(part)
    return groove_grid(draft, on_page.getlist(divisions) if on_page else (), part)


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def groove_remove(request: TeacherRequest, pk: int) -> HttpResponse:
    return removal_views.ask_and_remove(
        request,
        owned(request, StudioGroove, pk),
        consequence="It leaves your library. Assignments that have it keep it as it is.",
        back=reverse("rhythms:grooves"),
        undo=reverse("rhythms:groove-restore", args=[pk]),
    )


@require_POST
@teacher_required
def groove_restore(request: TeacherRequest, pk: int) -> HttpResponse:
    kept = owned_or_removed(request, StudioGroove, pk)
    return removal_views.undo(request, kept, back=reverse("rhythms:grooves"))
