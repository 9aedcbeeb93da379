"""The rule sets of a studio."""

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from rhythms.models import RuleSet
from rhythms.views.trying import trial_page
from studio import removing
from studio.access import owned, owned_or_removed, teacher_required
from studio.requests import TeacherRequest


@require_safe
@teacher_required
def rule_sets(request: TeacherRequest) -> HttpResponse:
    kept = request.studio.rule_sets.kept()
    return render(request, "rhythms/rule_sets.html", {"rule_sets": kept, "here": "rule-sets"})


@require_safe
@teacher_required
def rule_set(request: TeacherRequest, pk: int) -> HttpResponse:
    """What it says, and what it makes of a bar."""
    kept = owned(request, RuleSet, pk)
    page = {"rule_set": kept, "here": "rule-sets"}
    page |= trial_page(request, kept.rule_set, request.GET, problems=[])
    return render(request, "rhythms/rule_set.html", page)


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def remove(request: TeacherRequest, pk: int) -> HttpResponse:
    return removing.ask_and_remove(
        request,
        owned(request, RuleSet, pk),
        consequence=(
            "It leaves your rule sets. Students keep the fills they have by it. "
            "You can undo this right after."
        ),
        back=reverse("rhythms:rule-sets"),
        undo=reverse("rhythms:rule-set-restore", args=[pk]),
    )


@require_POST
@teacher_required
def restore(request: TeacherRequest, pk: int) -> HttpResponse:
    kept = owned_or_removed(request, RuleSet, pk)
    return removing.undo(request, kept, back=reverse("rhythms:rule-sets"))
