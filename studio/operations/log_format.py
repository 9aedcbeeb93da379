"""Lines of the log: when, how bad, on whose behalf, what; and nothing that is anybody's own.

    2026-11-30 18:04:11,270 ERROR django.request [3f9a2c71d0 GET /home/ teacher]: Internal …

Code keeps names and secrets out of what it logs. What errors say by themselves is beyond it: a
database quotes the row that it refuses, a parser what it could not read. So everything is masked
that was sent with the request, that says who is signed in, or that looks like a secret.
"""

import logging
import re
import traceback
from collections.abc import Iterator
from functools import cache
from itertools import islice

from django.http import HttpRequest, QueryDict
from django.urls import URLPattern, URLResolver, get_resolver

from studio.operations import log_context

#: Parts of addresses with which one can sign in, set a password or fetch a person's file.
SECRET_PARTS = frozenset({"secret", "token", "uidb64", "ticket"})
MASK = "…"
_E_MAIL = re.compile(r"[\w.+-]+@[\w-]+(\.[\w-]+)+")
_PASSWORD_IN_ADDRESS = re.compile(r"(?<=://)[^\s/@]*:[^\s/@]*(?=@)")
#: A row may have lines of its own, as what was typed has.
_QUOTED_ROW = re.compile(r"^(DETAIL|CONTEXT|LINE \d+):.*?(?=^HINT:|\Z)", re.MULTILINE | re.DOTALL)
#: How the parts of a traceback begin that are program text.
_FRAME = '  File "'
#: Shorter ones say nothing, and stand in many words.
_SHORTEST = 3
#: Of what one request sent, so many words are masked at most: a form has no more fields.
_MOST_WORDS = 1000


class LogFormatter(logging.Formatter):
    """The format of all logs, of web processes and workers alike."""

    def format(self, record: logging.LogRecord) -> str:
        context = log_context.current()
        at_work = masked(str(context)) if context else "-"
        head = f"{self.formatTime(record)} {record.levelname} {record.name} [{at_work}]: "
        told = _told_by(context.request) if context and context.request else ()
        return head + masked(record.getMessage(), *told) + self._error(record, told)

    def _error(self, record: logging.LogRecord, told: tuple[str, ...]) -> str:
        if not record.exc_info or record.exc_info[0] is None:
            return ""
        parts = traceback.format_exception(*record.exc_info)
        told_in = (part if part.startswith(_FRAME) else masked(part, *told) for part in parts)
        return "\n" + "".join(told_in).rstrip()


def masked(text: str, *told: str) -> str:
    """The text without secrets of any address, e-mail addresses, and words that were told."""
    text = _secrets_of_addresses().sub(MASK, text)
    text = _E_MAIL.sub(MASK, _PASSWORD_IN_ADDRESS.sub(MASK, text))
    text = _QUOTED_ROW.sub(_without_row, text)
    for word in sorted(told, key=len, reverse=True):
        text = re.sub(rf"(?<!\w){re.escape(word)}(?!\w)", MASK, text)
    return text


def _without_row(found: re.Match[str]) -> str:
    end = "\n" if found[0].endswith("\n") else ""
    return f"{found[1]}: {MASK}{end}"


def _told_by(request: HttpRequest) -> tuple[str, ...]:
    """What the request says, as far as it is read, and who is signed in."""
    words = set(islice(_said_in(request), _MOST_WORDS))
    student = getattr(request, "student", None)
    if student:
        words.add(student.nickname)
    if studio := getattr(request, "studio", None) or (student and student.studio):
        words.add(studio.name)
    return tuple(word for word in words if len(word) >= _SHORTEST and not word.isnumeric())


def _said_in(request: HttpRequest) -> Iterator[str]:
    """Each text as it is, as programs quote it, and by its lines."""
    read = vars(request)  # reading it now might fail again
    for form in (read.get("_post"), read.get("GET")):
        for _, values in (form or QueryDict()).lists():
            for value in values:
                yield from _spellings(value)
    for text in read.get("sent_texts", ()):
        yield from _spellings(text)


def _spellings(text: str) -> Iterator[str]:
    text = text.strip()
    yield text
    if len(lines := text.splitlines()) > 1:
        yield repr(text)[1:-1]
        yield from map(str.strip, lines)


@cache
def _secrets_of_addresses() -> re.Pattern[str]:
    """Whatever follows the first words of an address that has a secret in it, of whatever page."""
    starts = sorted({re.escape(start) for start in _starts_of_secrets(get_resolver())})
    return re.compile(rf"(?:(?<=/{')|(?<=/'.join(starts)}))[^\s\"'<>?]+")


def _starts_of_secrets(resolver: URLResolver, before: str = "") -> Iterator[str]:
    for pattern in resolver.url_patterns:
        route = before + str(pattern.pattern)
        if isinstance(pattern, URLResolver):
            yield from _starts_of_secrets(pattern, route)
        elif isinstance(pattern, URLPattern) and SECRET_PARTS & set(pattern.pattern.converters):
            yield route.partition("<")[0]
