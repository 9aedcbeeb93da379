"""What a supervisor and Prometheus ask for; nobody else sees the numbers."""

from hmac import compare_digest

from django.conf import settings
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe
from django_prometheus.exports import ExportToDjangoView

from studio.operations import health as state_of_health
from studio.operations import metrics as numbers
from studio.request_types import Request


@require_safe
@never_cache
def health(request: HttpRequest) -> JsonResponse:
    """200 where pages can be served, else 503; how each part is, in words."""
    parts = state_of_health.parts()
    serving = state_of_health.can_serve(parts)
    sound = state_of_health.is_sound(parts)
    status = "ok" if sound else "impaired" if serving else "down"
    return JsonResponse({"status": status, "parts": parts}, status=200 if serving else 503)


@require_safe
@never_cache
def metrics(request: Request) -> HttpResponse:
    """For who has the token: `Authorization: Bearer …` with METRICS_TOKEN."""
    if not _has_token(request):
        if request.studio or request.student:
            raise PermissionDenied
        return HttpResponse(status=401, headers={"WWW-Authenticate": "Bearer"})
    answer: HttpResponse = ExportToDjangoView(request)
    answer.content = answer.content + numbers.page()
    return answer


def _has_token(request: HttpRequest) -> bool:
    token = settings.METRICS_TOKEN
    sent = request.headers.get("Authorization", "")
    return bool(token) and compare_digest(sent.encode(), f"Bearer {token}".encode())
