"""Answers in fewer bytes: pages and data are text, which gzip makes a tenth of."""

from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.middleware.gzip import GZipMiddleware

#: What is text; a PDF, a sound and a compressed score get no smaller, and cost the time.
_TEXTS = (
    "text/",
    "application/json",
    "application/manifest+json",
    "application/vnd.recordare.musicxml+xml",
    "image/svg+xml",
)


class Compression(GZipMiddleware):
    """Django's gzip for what is text.

    Against BREACH, which guesses a secret from the length of pages, Django writes up to a hundred
    random bytes into each answer and masks each page's CSRF token anew. Files that are sent with
    their length keep it: by that a browser says how far a download is.
    """

    def process_response(
        self, request: HttpRequest, response: HttpResponseBase
    ) -> HttpResponseBase:
        kind = response.headers.get("Content-Type", "")
        has_length = response.streaming and response.has_header("Content-Length")
        if has_length or not kind.startswith(_TEXTS):
            return response
        return super().process_response(request, response)
