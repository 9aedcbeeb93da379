"""JSON as programs send it, within bounds that no field has to think of."""

import json
import re
from collections.abc import Iterator, Mapping
from typing import IO, Any, NoReturn

from rest_framework import status
from rest_framework.exceptions import APIException, ParseError
from rest_framework.parsers import BaseParser

MOST_BYTES = 1_000_000
#: Deeper than anything that is asked for; the parser itself gives up at some hundreds.
DEEPEST = 16
#: What every kind of number can be turned into; what is too large for a field, the field says.
LARGEST = 10**300
_NOT_TEXT = re.compile("[\0\ud800-\udfff]")


class TooLarge(APIException):
    status_code = status.HTTP_413_REQUEST_ENTITY_TOO_LARGE
    default_detail = f"Send at most {MOST_BYTES:,} bytes at a time."
    default_code = "too-large"


class PlainJSON(BaseParser):
    """Raises ParseError, which says what is wrong and where, for JSON that nobody means.

    That is: not UTF-8 or no JSON, nested too deep, numbers that no arithmetic takes, and
    characters that no text has. What gets through can be kept, and repeated in an answer.
    The request has its texts as `sent_texts`, so that the log can mask them.
    """

    media_type = "application/json"

    def parse(
        self,
        stream: IO[bytes],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> Any:
        body = stream.read(MOST_BYTES + 1)
        if len(body) > MOST_BYTES:
            raise TooLarge
        try:
            sent = json.loads(body.decode(), parse_constant=_refuse_constant)
        except RecursionError as error:
            raise ParseError(_TOO_DEEP) from error
        except ValueError as error:
            raise ParseError(f"This is no JSON: {error}.") from error
        texts = set()
        for place, value, depth in _parts(sent):
            if depth > DEEPEST:
                raise ParseError(_TOO_DEEP)
            if wrong := _wrong_with(value):
                raise ParseError(f"{wrong} at {place[:80] or 'the start'}.")
            if isinstance(value, str):
                texts.add(value)
        if parser_context:
            parser_context["request"]._request.sent_texts = texts
        return sent


_TOO_DEEP = f"This is nested deeper than {DEEPEST} levels."


def _refuse_constant(name: str) -> NoReturn:
    raise ValueError(f"{name} is no number")


def _parts(sent: Any) -> Iterator[tuple[str, Any, int]]:
    """Each value and each name with its place, such as `events[2][0]`, and how deep it is."""
    waiting = [("", sent, 1)]
    while waiting:
        place, value, depth = waiting.pop()
        yield place, value, depth
        if depth > DEEPEST:
            continue
        if isinstance(value, dict):
            for name, inside in value.items():
                yield place, name, depth
                waiting.append((f"{place}.{name}" if place else name, inside, depth + 1))
        elif isinstance(value, list):
            waiting += [(f"{place}[{at}]", inside, depth + 1) for at, inside in enumerate(value)]


def _wrong_with(value: Any) -> str:
    """What is wrong with a single value, or ""."""
    if isinstance(value, str):
        return "There is a character that no text has" if _NOT_TEXT.search(value) else ""
    if isinstance(value, int | float):
        return "" if abs(value) <= LARGEST else "There is a number that is too large"
    return ""
