"""Files that the worker makes, for pages that wait for them."""

from django.http import HttpResponse, HttpResponseBase
from django.views.decorators.http import require_http_methods, require_safe

from rhythms.handing_out import rendering_of, sent, ticket_in, wait
from rhythms.rendering import ask_again, opened
from studio.access import sign_in_required
from studio.requests import Request


@require_http_methods(["GET", "HEAD", "POST"])
@sign_in_required
def state(request: Request, ticket: str) -> HttpResponse:
    """How far the file is; a POST has it made anew."""
    found = ticket_in(request, ticket)
    rendering = rendering_of(found)
    if request.method == "POST" or rendering.is_overdue:
        ask_again(rendering)
    return wait(request, rendering, found)


@require_safe
@sign_in_required
def file(request: Request, ticket: str) -> HttpResponseBase:
    found = ticket_in(request, ticket)
    rendering = rendering_of(found)
    made = opened(rendering)
    return sent(made, found.name) if made else wait(request, rendering, found)
