"""The kits of a studio's students."""

from django.contrib import messages
from django.db.models import Count, Q
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from studio import removing
from studio.access import owned, owned_or_removed, teacher_required
from studio.forms.people import KitForm
from studio.models import Kit
from studio.requests import TeacherRequest


@require_safe
@teacher_required
def kits(request: TeacherRequest) -> HttpResponse:
    players = Count("students", filter=Q(students__removed_at=None))
    kept = (
        Kit.objects.kept().filter(studio=request.studio).annotate(players=players).order_by("name")
    )
    return render(request, "studio/kits.html", {"kits": kept, "here": "kits"})


@teacher_required
def add(request: TeacherRequest) -> HttpResponse:
    return _kit_form(request, Kit(surfaces=[]), "Add a kit", "Add kit")


@teacher_required
def edit(request: TeacherRequest, pk: int) -> HttpResponse:
    kit = owned(request, Kit, pk)
    return _kit_form(request, kit, f"Edit {kit}", "Save kit")


def _kit_form(request: TeacherRequest, kit: Kit, title: str, submit: str) -> HttpResponse:
    form = KitForm(request.POST or None, instance=kit, studio=request.studio)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, f"{kit} is saved.")
        return redirect("studio:kits")
    page = {
        "title": title,
        "form": form,
        "submit": submit,
        "back": reverse("studio:kits"),
        "here": "kits",
    }
    return render(request, "studio/form.html", page)


@teacher_required
def remove(request: TeacherRequest, pk: int) -> HttpResponse:
    return removing.ask_and_remove(
        request,
        owned(request, Kit, pk),
        consequence="No student plays it any more. You can undo this right after.",
        back=reverse("studio:kits"),
        undo=reverse("studio:kit-restore", args=[pk]),
    )


@require_POST
@teacher_required
def restore(request: TeacherRequest, pk: int) -> HttpResponse:
    kit = owned_or_removed(request, Kit, pk)
    return removing.undo(request, kit, back=reverse("studio:kits"))
