"""Engravings as they are made, and files that the worker makes, for pages that wait for them."""

from django.http import HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from rhythms.models import Rendering
from rhythms.renderings.display import rendering_context
from rhythms.renderings.download_response import (
    ask_later,
    minutes_to_next,
    rendering_of,
    sent,
    ticket_in,
    wait,
)
from rhythms.renderings.rendering_store import ask_again, draw_if_put_off, markup, opened
from rhythms.renderings.visibility import seen_rendering
from studio.access import sign_in_required
from studio.request_types import Request

#: Private: who may not see it gets none from a cache between us.
_FOR_EVER = "private, max-age=31536000, immutable"


@require_http_methods(["GET", "HEAD", "POST"])
@sign_in_required
def file_state(request: Request, ticket: str) -> HttpResponse:
    """How far the file is; a POST has it made anew."""
    found = ticket_in(request, ticket)
    rendering = rendering_of(found)
    if request.method == "POST":
        if minutes := minutes_to_next(request):
            return ask_later(request, minutes, found.name)
        ask_again(rendering)
    elif rendering.is_overdue:
        ask_again(rendering)
    return wait(request, rendering, found)


@require_safe
@sign_in_required
def file(request: Request, ticket: str) -> HttpResponseBase:
    found = ticket_in(request, ticket)
    rendering = rendering_of(found)
    made = opened(rendering)
    return sent(made, found.name) if made else wait(request, rendering, found)


@require_safe
@sign_in_required
def rendering(request: Request, key: str) -> HttpResponse:
    """The rendering once there is something new to show, until then 204."""
    found = seen_rendering(request, key)
    draw_if_put_off(found)
    page = rendering_context(found, with_legend="bare" not in request.GET)
    told = found.is_held_up and "held" not in request.GET
    if found.state == Rendering.State.WAITING and not told:
        return HttpResponse(status=204)
    return render(request, "rhythms/renderings/rendering.html", page)


@require_safe
@sign_in_required
def rendering_svg(request: Request, key: str) -> HttpResponse:
    """The engraving by itself; 204 while it is not there, 404 where it cannot be drawn.

    Its address is what it shows, so a browser asks for it once.
    """
    found = seen_rendering(request, key)
    draw_if_put_off(found)
    drawing = markup(found)
    if drawing is None:
        return HttpResponse(status=404 if found.state == Rendering.State.FAILED else 204)
    return HttpResponse(drawing, content_type="image/svg+xml", headers={"Cache-Control": _FOR_EVER})


@require_POST
@sign_in_required
def rendering_retry(request: Request, key: str) -> HttpResponse:
    """Have it made anew."""
    found = seen_rendering(request, key)
    ask_again(found)
    page = rendering_context(found, with_legend="bare" not in request.GET)
    return render(request, "rhythms/renderings/rendering.html", page)
