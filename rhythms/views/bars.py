"""The library of bars."""

from django.core.paginator import Paginator
from django.db.models import Q
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from rhythms.engine import Kit
from rhythms.engine.fill import snare_fill
from rhythms.models import RuleSet, SourceBar
from rhythms.rendering import rendering_for, renderings_for
from rhythms.sizes import in_words
from rhythms.spaces import space_for
from rhythms.taking_along import KINDS
from studio import removing
from studio.access import owned, owned_or_removed, teacher_required
from studio.requests import TeacherRequest

BARS_A_PAGE = 20
_SEARCHED = ("name", "counts", "reference", "meter")


@require_safe
@teacher_required
def bars(request: TeacherRequest) -> HttpResponse:
    wanted = request.GET.get("q", "").strip().replace("\0", "")
    found = request.studio.bars.kept()
    if wanted:
        found = found.filter(Q.create([(f"{name}__icontains", wanted) for name in _SEARCHED], Q.OR))
    page = Paginator(found, BARS_A_PAGE).get_page(request.GET.get("page"))
    renderings = renderings_for([snare_fill(bar.bar) for bar in page], counts=True)
    shown = list(zip(page, renderings, strict=True))
    return render(request, "rhythms/bars.html", {"page": page, "bars": shown, "wanted": wanted})


@require_safe
@teacher_required
def bar(request: TeacherRequest, pk: int) -> HttpResponse:
    """One bar, and how many fills each rule set makes of it on a standard kit."""
    bar = owned(request, SourceBar, pk)
    rule_sets = RuleSet.objects.kept().filter(studio=request.studio)
    sizes = [(each, in_words(space_for(bar, each, Kit.standard()).size)) for each in rule_sets]
    rendering = rendering_for(snare_fill(bar.bar), counts=True)
    kinds = [(kind.ending, kind.label) for kind in KINDS.values()]
    page = {"bar": bar, "rendering": rendering, "sizes": sizes, "kinds": kinds}
    return render(request, "rhythms/bar.html", page)


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def remove(request: TeacherRequest, pk: int) -> HttpResponse:
    return removing.ask_and_remove(
        request,
        owned(request, SourceBar, pk),
        consequence=(
            "It leaves your library. Students keep the fills they have of it. "
            "You can undo this right after."
        ),
        back=reverse("rhythms:bars"),
        undo=reverse("rhythms:bar-restore", args=[pk]),
    )


@require_POST
@teacher_required
def restore(request: TeacherRequest, pk: int) -> HttpResponse:
    kept = owned_or_removed(request, SourceBar, pk)
    return removing.undo(request, kept, back=reverse("rhythms:bars"))
