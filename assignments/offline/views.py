"""The student's pages as an app on their device: its manifest, its worker, its list."""

import json

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from assignments.offline.site_files import PUSH_WORKER, WORKER, site_files, sounds_address

PAPER = "#FBF9F4"


@require_safe
def manifest(request: HttpRequest) -> HttpResponse:
    """What a phone needs to put the student's pages on its home screen."""
    today = reverse("assignments:today")
    app = {
        "id": today,
        "name": "Fillwright",
        "short_name": "Fillwright",
        "description": "Today’s fills, beside the kit, also without a network.",
        "lang": "en",
        "start_url": today,
        "scope": "/",
        "display": "standalone",
        "background_color": PAPER,
        "theme_color": PAPER,
        "icons": [
            _icon("favicon.svg", "any", "image/svg+xml"),
            _icon("icon-192.png", "192x192"),
            _icon("icon-512.png", "512x512"),
            _icon("icon-maskable-512.png", "512x512", purpose="maskable"),
        ],
    }
    return JsonResponse(app, content_type="application/manifest+json")


@never_cache
@require_safe
def service_worker(request: HttpRequest) -> HttpResponse:
    """The worker, with what it keeps. It changes, byte by byte, with any file of the site."""
    files = site_files()
    kept = {
        "version": files.version,
        "files": files.addresses,
        # A name that changes with the content can be kept for as long as its page is.
        "hashed": not settings.DEBUG,
        "device": reverse("assignments:api-device"),
        "today": reverse("assignments:today"),
        "fallback": reverse("assignments:offline"),
        "signIn": reverse("studio:sign-in"),
        "signOut": reverse("studio:sign-out"),
        "signUp": reverse("studio:sign-up"),
        "sounds": sounds_address(),
        "icon": static("img/icon-192.png"),
    }
    script = (
        f"self.FILLWRIGHT = {json.dumps(kept)};\n"
        f"importScripts({json.dumps(static(WORKER))}, {json.dumps(static(PUSH_WORKER))});\n"
    )
    return HttpResponse(script, content_type="text/javascript; charset=utf-8")


@require_safe
def offline(request: HttpRequest) -> HttpResponse:
    """What is shown in place of a page that the device has no copy of."""
    return render(request, "assignments/offline/no_network.html")


def _icon(name: str, sizes: str, kind: str = "image/png", purpose: str = "any") -> dict[str, str]:
    return {"src": static(f"img/{name}"), "sizes": sizes, "type": kind, "purpose": purpose}
