"""What a person sees where something broke: no more than the number to find it by."""

import sys

from django.db import InterfaceError, OperationalError, connection
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template import loader

from studio.operations import log_context

BROKEN = "broken", "Something broke on our side. Nothing you did is wrong. Try again in a minute."
AWAY = "database-away", "The studio’s database does not answer. Try again in a minute."
#: Seconds after which it is worth asking a database again that was away.
RETRY_AFTER = 60
#: PostgreSQL's classes of errors: no connection, and a server that stops or starts.
_FAREWELLS = ("08", "57P")


def server_error(request: HttpRequest) -> HttpResponse:
    """A page, or JSON for an address of the API. Asks nothing of database, session or request.

    500, or 503 where it is the database that is away. Django calls it while it handles the error.
    """
    away = _is_database_away(sys.exception())
    id = log_context.id_for()
    status = 503 if away else 500
    answer: HttpResponse
    if request.path.startswith("/api/"):
        code, message = AWAY if away else BROKEN
        error = {"code": code, "message": message, "request_id": id}
        answer = JsonResponse({"error": [error]}, status=status)
    else:
        facts = {"request_id": id, "has_typed": request.method == "POST"}
        answer = HttpResponse(loader.render_to_string(f"{status}.html", facts), status=status)
    if away:
        answer["Retry-After"] = str(RETRY_AFTER)
    return answer


def _is_database_away(error: BaseException | None) -> bool:
    """Whether there was no connection to be had, or it was lost.

    What an open connection refuses, such as a lock it would wait for, is an error of our own.
    """
    if not isinstance(error, OperationalError | InterfaceError):
        return False
    link = connection.connection
    return link is None or getattr(link, "closed", False) or _says_farewell(error)


def _says_farewell(error: Exception) -> bool:
    """Whether it was PostgreSQL's last word on a connection, in whose place there is one by now."""
    told = getattr(error.__cause__, "sqlstate", "")
    if told is None:  # not a word of the server: it went
        return isinstance(error, OperationalError)
    return told.startswith(_FAREWELLS)
