"""Send hostile requests to the site in this process, and count what comes back."""

from __future__ import annotations

import traceback
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from random import Random
from typing import Any, NamedTuple

from django.core.cache import cache
from django.core.signals import got_request_exception
from django.db import connection, transaction
from django.http.response import HttpResponseBase
from django.test import Client
from django.urls import reverse
from lxml.etree import LxmlError

from studio.plain_requests import readable
from tests.hostile.hostile_requests import HostileRequest, RequestMaker
from tests.hostile.known_forms import KnownForm, by_address, forms_in
from tests.permissions import READ, ROWS
from tests.test_permissions import made

#: After so many requests everything is as it was: what one breaks is not in the way of others.
BLOCK = 400
#: A worker that has much to do: most of what requests ask of it waits for ever.
WORKED_ON = 0.02
#: What ends sessions or takes a person away is undone at once, or nobody would be let in after it.
UNDONE = {
    "studio:sign-out", "studio:sign-in", "studio:enter", "studio:change-password",
    "studio:new-password", "studio:link-revoke", "studio:student-remove",
}  # fmt: skip


#: Queries with which a page has more of its form than without.
ASKED = {"assignments:assign": "?bar={bar}&rule_set={rule_set}&students={student}"}


class Failure(NamedTuple):
    """An answer of 500 or more: what was asked, and where it broke."""

    request: str
    code: int
    error: str


class Tally:
    """How the requests to each address were answered, by the hundreds of their codes."""

    def __init__(self) -> None:
        self.codes: Counter[tuple[str, int]] = Counter()
        self.meant: Counter[tuple[str, int]] = Counter()
        self.failures: list[Failure] = []

    def note(self, request: HostileRequest, code: int, error: str) -> None:
        self.codes[request.name, code] += 1
        if request.meant:
            self.meant[request.name, code] += 1
        if code >= 500:
            self.failures.append(Failure(str(request), code, error))


class SiteClient(Client):
    """Asks as `studio.wsgi` has the site asked, and gets an answer also where something breaks."""

    def _base_environ(self, **request: Any) -> dict[str, Any]:
        return readable(super()._base_environ(**request))


class Target:
    """The site with one of each thing in it, inside a transaction that is undone at the end."""

    def __init__(self) -> None:
        self.things = made() | {"midi_file": _midi_file()}
        self.forms = by_address(self._learn())
        self.errors: list[str] = []
        self.jars = {
            who: client.cookies.output(header="", sep=";")
            for who, client in self.things["clients"].items()
        }

    def _learn(self) -> Iterator[KnownForm]:
        pks = {name: getattr(thing, "pk", thing) for name, thing in self.things.items()}
        for row in ROWS:
            if row.methods[0] not in READ:
                continue
            path = reverse(row.name, args=[pks[part] for part in row.parts])
            path += ASKED.get(row.name, "").format_map(pks)
            # A page may have other forms for a teacher than for a student.
            for who in row.who:
                answer = self.things["clients"][who].get(path)
                if answer.headers.get("Content-Type", "").startswith("text/html"):
                    yield from forms_in(_content(answer), path)

    def send(self, request: HostileRequest) -> tuple[HttpResponseBase, str]:
        """The answer, all of it read, and the traceback of what broke on the way."""
        client = SiteClient(raise_request_exception=False)
        client.cookies.load(self.jars[request.actor])
        cookies = "; ".join(
            f"{name}={value}"
            for name, value in {
                **{key: morsel.value for key, morsel in client.cookies.items()},
                **request.cookies,
            }.items()
        )
        client.cookies.clear()
        meta = {f"HTTP_{k.upper().replace('-', '_')}": v for k, v in request.headers.items()}
        self.errors.clear()
        answer = client.generic(
            request.method,
            request.path,
            request.body,
            content_type=request.content_type,
            QUERY_STRING=request.query,
            **({"HTTP_COOKIE": cookies} if cookies else {}),
            **meta,
        )
        try:
            _content(answer)
        except Exception:
            return answer, traceback.format_exc()
        return answer, "".join(self.errors)

    def send_and_undo(self, request: HostileRequest) -> tuple[HttpResponseBase, str]:
        """Like `send`; whatever the request changes is as it was."""
        with _undone():
            return self.send(request)

    def learn_more(self, answer: HttpResponseBase, path: str) -> list[KnownForm]:
        """The forms of an answer: what only stands on pages that come of other requests."""
        kind = answer.headers.get("Content-Type", "")
        packed = "Content-Encoding" in answer.headers
        if answer.status_code != 200 or packed or not kind.startswith("text/html"):
            return []
        with suppress(LxmlError):
            return list(forms_in(_content(answer), path))
        return []

    def note_error(self, **_: Any) -> None:
        self.errors.append(traceback.format_exc())


@contextmanager
def target() -> Iterator[Target]:
    """A target in a transaction that is undone. The database and settings are those of tests."""
    with transaction.atomic():
        made_once = Target()
        got_request_exception.connect(made_once.note_error)
        try:
            yield made_once
        finally:
            got_request_exception.disconnect(made_once.note_error)
            transaction.set_rollback(True)


def attack(
    site: Target, requests: int, seed: int, tally: Tally, first_block: int = 0
) -> Iterator[int]:
    """Send so many requests; yield how many are sent after each block.

    The seed and the number of a block make all of its requests.
    """
    for block, sent in enumerate(range(0, requests, BLOCK), start=first_block):
        some = min(requests - sent, BLOCK)
        _attack_block(site, some, Random(f"{seed}-{block}"), tally)
        yield sent + some


def _attack_block(site: Target, requests: int, random: Random, tally: Tally) -> None:
    cache.clear()
    maker = RequestMaker(random, site.things, {k: [*v] for k, v in site.forms.items()})
    with _undone():
        for _ in range(requests):
            request = maker.make()
            with _own_transaction():
                answer, error = site.send(request)
                code = 500 if error and answer.status_code < 500 else answer.status_code
                if code >= 500 or request.name in UNDONE:
                    transaction.set_rollback(True)
            tally.note(request, code, error)
            _work(random)
            if random.random() < 0.1:
                for form in site.learn_more(answer, request.path):
                    maker.forms.setdefault(form.address, []).append(form)


@contextmanager
def _undone() -> Iterator[None]:
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


@contextmanager
def _own_transaction() -> Iterator[None]:
    """What breaks in one request leaves the next one's transaction whole."""
    with transaction.atomic():
        yield


def _work(random: Random) -> None:
    """Do some of what was put off until the commit, which never comes."""
    waiting, connection.run_on_commit = connection.run_on_commit, []
    for _, job, _ in waiting:
        if random.random() < WORKED_ON:
            with suppress(Exception), transaction.atomic():
                job()
    connection.run_on_commit = []


def _content(answer: HttpResponseBase) -> bytes:
    return b"".join(answer.streaming_content) if answer.streaming else answer.content


def _midi_file() -> bytes:
    """A bar of four quarters as a kit records it."""
    events = b"".join(b"\x00\x99\x26\x50\x83\x60\x89\x26\x00" for _ in range(4))
    track = b"\x00\xff\x58\x04\x04\x02\x18\x08" + events + b"\x00\xff\x2f\x00"
    head = b"MThd\x00\x00\x00\x06\x00\x00\x00\x01\x01\xe0"
    return head + b"MTrk" + len(track).to_bytes(4, "big") + track
