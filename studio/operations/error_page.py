"""What a person sees where something broke: no more than the number to find it by."""

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template import loader

from studio.operations import log_context

CODE = "broken"
MESSAGE = "Something broke on our side. Nothing you did is wrong. Try again in a minute."


def server_error(request: HttpRequest) -> HttpResponse:
    """A page, or JSON for an address of the API. Asks nothing of database, session or request."""
    id = log_context.id_for()
    if request.path.startswith("/api/"):
        error = {"code": CODE, "message": MESSAGE, "request_id": id}
        return JsonResponse({"error": [error]}, status=500)
    return HttpResponse(loader.render_to_string("500.html", {"request_id": id}), status=500)
