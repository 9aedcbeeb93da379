"""On whose behalf the process is at work: a request, or a task of the worker.

What a request asks the worker for has its id too, so that both can be found in the logs by the
number that a page gives where something broke.
"""

import re
import secrets
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.utils.encoding import escape_uri_path

_ID = re.compile(r"[0-9a-f]{10}")


@dataclass(frozen=True)
class LogContext:
    """`words` says what is at work, at the time of asking: a request learns whose it is later."""

    id: str
    words: Callable[[], str]
    request: HttpRequest | None = None

    def __str__(self) -> str:
        return f"{self.id} {self.words()}"


_at_work: ContextVar[LogContext | None] = ContextVar("at_work", default=None)


def current() -> LogContext | None:
    """What is at work, or None between requests."""
    return _at_work.get()


@contextmanager
def work_on(context: LogContext) -> Iterator[LogContext]:
    """Until the end of the block, log on behalf of this."""
    before = _at_work.set(context)
    try:
        yield context
    finally:
        _at_work.reset(before)


def id_for(told: object = None) -> str:
    """The id that was told where it is one of ours; else that of what is at work, or a new one."""
    if isinstance(told, str) and _ID.fullmatch(told):
        return told
    at_work = current()
    return at_work.id if at_work else secrets.token_hex(5)


class RequestIds:
    """Gives each request an id of our own, and says it in the answer as `X-Request-ID`."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        context = LogContext(secrets.token_hex(5), lambda: words_for(request), request)
        with work_on(context):
            response = self.get_response(request)
        response["X-Request-ID"] = context.id
        return response


def words_for(request: HttpRequest) -> str:
    """Method, path and kind of person, such as "GET /home/ teacher", on one line."""
    return f"{request.method} {escape_uri_path(request.path)} {_kind_of_person(request)}"


def _kind_of_person(request: HttpRequest) -> str:
    if getattr(request, "studio", None):
        return "teacher"
    return "student" if getattr(request, "student", None) else "visitor"
