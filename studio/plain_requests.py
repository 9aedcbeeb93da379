"""Text that is none is turned away at the door, so that no page has to think of it.

A charset may be a codec that makes half characters, or none of text at all: text is UTF-8. What
a form is sent beyond that, its own fields judge; what a program sends, `studio.json_parser`.
"""

from collections.abc import Callable
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.http import parse_header_parameters

_UTF_8 = {"utf-8", "utf8"}


class PlainRequests:
    """Answers 415 to a body that is not in UTF-8, and 404 to an address that has a NUL in it."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if "\0" in request.path_info:
            raise Http404
        if (request.encoding or "utf-8").lower() not in _UTF_8:
            words = "Send text in UTF-8.\n"
            return HttpResponse(words, status=415, content_type="text/plain; charset=utf-8")
        return self.get_response(request)


def readable(environ: dict[str, Any]) -> dict[str, Any]:
    """A request of the web server's, without a kind of body that nobody can read.

    Django makes no request at all of a header that names a charset that there is not.
    """
    try:
        parse_header_parameters(environ.get("CONTENT_TYPE", ""))
    except ValueError:
        environ["CONTENT_TYPE"] = ""
    return environ
