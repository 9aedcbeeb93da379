"""A rendering by itself: for pages that wait for it."""

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_POST, require_safe

from rhythms.models import Rendering
from rhythms.rendering import ask_again
from rhythms.sharing import may_see
from rhythms.showing import shown
from studio.access import sign_in_required
from studio.requests import Request


@require_safe
@sign_in_required
def rendering(request: Request, key: str) -> HttpResponse:
    """The rendering once there is something new to show, until then 204."""
    found = _seen_by(request, key)
    if found.is_overdue:
        ask_again(found)
    page = shown(found, with_legend="bare" not in request.GET)
    if found.state == Rendering.State.WAITING:
        return HttpResponse(status=204)
    return render(request, "rhythms/rendering.html", page)


@require_POST
@sign_in_required
def retry(request: Request, key: str) -> HttpResponse:
    """Have it made anew."""
    found = _seen_by(request, key)
    ask_again(found)
    page = shown(found, with_legend="bare" not in request.GET)
    return render(request, "rhythms/rendering.html", page)


def _seen_by(request: Request, key: str) -> Rendering:
    found = get_object_or_404(Rendering, pk=key, format="svg")
    if not may_see(request, found):
        raise Http404
    return found
