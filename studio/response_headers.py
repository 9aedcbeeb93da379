"""What every answer tells the browser: who may keep it, who may load it, what a page may use."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase

NOT_KEPT = "private, no-store"
#: What pages use or are about to; the last two play the fills and copy a personal link.
ALLOWED = ("microphone", "midi", "screen-wake-lock", "fullscreen", "autoplay", "clipboard-write")
#: All others that browsers let a page be denied without complaint.
DENIED = (
    "accelerometer", "browsing-topics", "camera", "clipboard-read",
    "display-capture", "encrypted-media", "gamepad", "geolocation", "gyroscope", "hid",
    "idle-detection", "local-fonts", "magnetometer", "payment", "picture-in-picture",
    "publickey-credentials-create", "publickey-credentials-get", "serial", "storage-access",
    "sync-xhr", "usb", "window-management", "xr-spatial-tracking",
)  # fmt: skip
PERMISSIONS_POLICY = ", ".join(
    [*(f"{name}=(self)" for name in ALLOWED), *(f"{name}=()" for name in DENIED)]
)


class ResponseHeaders:
    """Sets them on every answer, files and errors included.

    What is answered to somebody who is signed in is not kept by browsers and proxies, unless
    the view says how long it may be. The copies that a student's device has for places without
    a network are put there by its worker, which this does not keep from it.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.headers.setdefault("Permissions-Policy", PERMISSIONS_POLICY)
        response.headers.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        if response.get("Content-Type") == "application/pdf":
            # The browser's own viewer is held to it too, and in WebKit loses its style.
            response._csp_exempt = True  # type: ignore[attr-defined]
        if getattr(request, "studio", None) or getattr(request, "student", None):
            response.headers.setdefault("Cache-Control", NOT_KEPT)
        return response

    def process_view(
        self, request: HttpRequest, view: Callable, args: object, kwargs: object
    ) -> None:
        """Let the guard against forged requests see where a page without a referrer was sent from.

        Of a page that hides its address the browser also hides the origin ("null"). It still
        says by a header that no script can set whether a form is of this site; a browser too
        old for that header sends the guard's cookie to nobody else.
        """
        of_this_site = request.headers.get("Sec-Fetch-Site", "same-origin") == "same-origin"
        hidden = getattr(view, "hides_its_address", False)
        if hidden and of_this_site and request.headers.get("Origin") == "null":
            request.META["HTTP_ORIGIN"] = f"{request.scheme}://{request.get_host()}"


def hides_its_address(view: Callable[..., HttpResponseBase]) -> Callable[..., HttpResponseBase]:
    """Decorator of a view whose address is a secret: what its page loads does not hear of it."""

    @wraps(view)
    def hidden(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        response = view(request, *args, **kwargs)
        response.headers["Referrer-Policy"] = "no-referrer"
        return response

    hidden.hides_its_address = True  # type: ignore[attr-defined]
    return hidden
