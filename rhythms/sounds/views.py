"""The kit's sounds, for the player. They are nobody's, so everybody may have them."""

from django.http import Http404, HttpResponse, JsonResponse
from django.views.decorators.http import etag, require_safe

from rhythms.notation.sounds import SOUNDS_VERSION
from rhythms.sounds.sound_files import SLUGS, manifest, sound_file
from studio.request_types import Request

_FOR_EVER = "public, max-age=31536000, immutable"


@require_safe
@etag(lambda request: f'"{SOUNDS_VERSION}"')
def sounds(request: Request) -> HttpResponse:
    """Where each sound is, as JSON."""
    return JsonResponse(manifest(), headers={"Cache-Control": "no-cache"})


@require_safe
def sound(request: Request, version: str, slug: str) -> HttpResponse:
    """One sound; what an address of this version holds never changes."""
    if version != SOUNDS_VERSION or slug not in SLUGS:
        raise Http404
    return HttpResponse(
        sound_file(slug), content_type="audio/mpeg", headers={"Cache-Control": _FOR_EVER}
    )
