"""A fill to be heard from any list: the page fetches it when the button is touched."""

from django.http import HttpResponse, JsonResponse
from django.views.decorators.http import require_safe

from assignments.blocks import heard_json
from assignments.student_access import seen_variation
from studio.access import sign_in_required
from studio.request_types import Request


@require_safe
@sign_in_required
def heard(request: Request, pk: int) -> HttpResponse:
    """The fill alone as the player takes it (see `fill_json`), and the `tempo` asked for."""
    return JsonResponse(heard_json(seen_variation(request, pk)))
