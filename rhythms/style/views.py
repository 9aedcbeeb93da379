"""The page on how fills sound and are stuck in the studio."""

from typing import cast

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from rhythms.models import TeacherTake
from rhythms.style.forms import OwnPlayingForm, StyleForm
from rhythms.style.own_playing import own_playing, style_of
from studio import removal_views
from studio.access import owned, owned_or_removed, teacher_required
from studio.models import Teacher
from studio.pagination import page_of
from studio.request_types import TeacherRequest


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def style(request: TeacherRequest) -> HttpResponse:
    """Show what is chosen (GET); keep it (POST)."""
    form = StyleForm(request.POST or None, instance=style_of(request.studio))
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, "Saved.")
        return redirect("rhythms:style")
    return _show(request, form, _upload(request))


@require_POST
@teacher_required
def own_playing_add(request: TeacherRequest) -> HttpResponse:
    """Take in a file of the teacher's."""
    form = _upload(request, sent=True)
    if form.is_valid() and form.take:
        fills = len(form.take.fills)
        messages.success(request, f"{fills} fill{'' if fills == 1 else 's'} taken in.")
        return redirect("rhythms:style")
    return _show(request, StyleForm(instance=style_of(request.studio)), form)


@teacher_required
def own_playing_remove(request: TeacherRequest, pk: int) -> HttpResponse:
    """Ask, then remove one take."""
    return removal_views.ask_and_remove(
        request,
        owned(request, TeacherTake, pk),
        consequence="Fills that are drawn no longer sound like it. What was assigned stays.",
        back=reverse("rhythms:style"),
        undo=reverse("rhythms:own-playing-restore", args=[pk]),
    )


@require_POST
@teacher_required
def own_playing_restore(request: TeacherRequest, pk: int) -> HttpResponse:
    """Bring one take back."""
    take = owned_or_removed(request, TeacherTake, pk)
    return removal_views.undo(request, take, back=reverse("rhythms:style"))


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def own_playing_clear(request: TeacherRequest) -> HttpResponse:
    """Ask, then remove all takes."""
    if request.method == "POST":
        kept = TeacherTake.objects.kept().filter(studio=request.studio)
        kept.update(removed_at=timezone.now())
        messages.success(request, "Cleared. Fills are drawn as the drummers play them.")
        return redirect("rhythms:style")
    page = {
        "title": "Clear your own playing?",
        "intro": "All takes of it go. Fills are then drawn as the drummers play them; what was "
        "assigned stays.",
        "submit": "Clear it",
        "back": reverse("rhythms:style"),
        "here": "style",
    }
    return render(request, "studio/studio_form.html", page)


def _upload(request: TeacherRequest, *, sent: bool = False) -> OwnPlayingForm:
    data = (request.POST, request.FILES) if sent else (None, None)
    return OwnPlayingForm(*data, studio=request.studio, teacher=cast(Teacher, request.user))


def _show(request: TeacherRequest, form: StyleForm, upload: OwnPlayingForm) -> HttpResponse:
    playing = own_playing(request.studio)
    page = {"form": form, "upload": upload, "playing": playing, "here": "style"}
    page["takes"] = page_of(request, playing.takes)
    wrong = any(each.is_bound and not each.is_valid() for each in (form, upload))
    return render(request, "rhythms/style/style.html", page, status=422 if wrong else 200)
