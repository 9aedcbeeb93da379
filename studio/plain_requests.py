"""Text that is none is turned away at the door, so that no page has to think of it.

A charset may be a codec that makes half characters, or none of text at all: text is UTF-8. What
a form is sent beyond that, its own fields judge; what a program sends, `studio.json_parser`.
"""

import codecs
from collections.abc import Callable
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.http import parse_header_parameters

_UNREADABLE = "unreadable"


class PlainRequests:
    """Answers 415 to a body that is not in UTF-8, and 404 to an address that has a NUL in it."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if "\0" in request.path_info:
            raise Http404
        if request.content_type == _UNREADABLE:
            words = "Send text in UTF-8.\n"
            return HttpResponse(words, status=415, content_type="text/plain; charset=utf-8")
        return self.get_response(request)


def readable(environ: dict[str, Any]) -> dict[str, Any]:
    """A request as the web server has it, its kind of body marked where nobody can read that.

    Django makes no request at all of some of them, so that no page of ours would be asked.
    """
    if not _is_readable(environ.get("CONTENT_TYPE", "")):
        environ["CONTENT_TYPE"] = _UNREADABLE
    return environ


def _is_readable(content_type: str) -> bool:
    """Whether it is in UTF-8 as far as it says; a charset that there is not says nothing."""
    try:
        charset = parse_header_parameters(content_type)[1].get("charset", "")
    except ValueError:
        return False
    try:
        return not charset or codecs.lookup(charset).name == "utf-8"
    except LookupError:
        return True
