"""Requests at random over every address: well meant ones, and what is done to them."""

from __future__ import annotations

import json
from random import Random
from typing import Any, NamedTuple
from urllib.parse import quote, urlencode

from django.core.files.uploadedfile import SimpleUploadedFile
from django.db.models import Model
from django.test.client import BOUNDARY, MULTIPART_CONTENT, encode_multipart
from django.urls import get_resolver, reverse

from tests.hostile import hostile_values as hostile
from tests.hostile.known_forms import KnownForm, json_for
from tests.permissions import ROWS, Row

FORM = "application/x-www-form-urlencoded"
JSON = "application/json"
OUTSIDERS = ("visitor", "other_teacher", "other_student", "classmate", "teacher", "student")
#: What takes long for each request is asked for less often: a share of the others' turns.
SLOW = {
    "assignments:assign": 0.25,
    "assignments:draw": 0.15,
    "assignments:comfort": 0.3,
    "assignments:student-comfort": 0.3,
    "assignments:way-out": 0.3,
    "assignments:block-audio": 0.3,
    "rhythms:own-playing-add": 0.05,
    "rhythms:bar-pdf": 0.3,
    "rhythms:rule-set-preview": 0.5,
    "rhythms:rule-set": 0.5,
    "rhythms:rule-set-edit": 0.5,
    "rhythms:rule-set-new": 0.5,
}
#: What views look for in a query, besides the fields of forms.
QUERY_NAMES = (
    "bar", "kit", "fill", "page", "q", "sort", "meter", "division", "minutes", "bare", "by", "seed",
    "next", "format", "student", "students", "ladder", "paper", "first_day", "how_many", "rule_set",
    "counts", "away", "tempo",
)  # fmt: skip
TURNS = [(row, method) for row in ROWS for method in row.methods]
WEIGHTS = [SLOW.get(row.name, 1.0) for row, _ in TURNS]


class HostileRequest(NamedTuple):
    """A request as it goes out; `meant` says whether nothing was done to it."""

    name: str
    actor: str
    method: str
    path: str
    query: str
    body: bytes
    content_type: str
    headers: dict[str, str]
    cookies: dict[str, str]
    meant: bool

    def __str__(self) -> str:
        parts = {"headers": self.headers, "cookies": self.cookies, "body": self.body[:400]}
        said = ", ".join(f"{name} {value!r}" for name, value in parts.items() if value)
        address = f"{self.path[:300]}{'?' if self.query else ''}{self.query[:300]}"
        return f"{self.actor} {self.method} {address} [{self.content_type}] {said}"


class RequestMaker:
    """Makes requests; `forms` are those that pages have, by address, `things` the cast's."""

    def __init__(
        self, random: Random, things: dict[str, Any], forms: dict[str, list[KnownForm]]
    ) -> None:
        self.random = random
        self.things = things
        self.forms = forms

    def make(self) -> HostileRequest:
        row, method = self.random.choices(TURNS, WEIGHTS)[0]
        return self.of(row, method, harm=self._some(0.75))

    def of(self, row: Row, method: str, *, harm: bool, actor: str = "") -> HostileRequest:
        """A request of this row by somebody who may, or with `harm` by anybody and done to."""
        random = self.random
        actor = actor or random.choice(row.who)
        if harm and self._some(0.12):
            actor = random.choice(OUTSIDERS)
        form = self._form(row, method)
        path = self._path(row, form, harm)
        query, body, content_type = self._content(row, method, form, harm)
        headers, cookies = {}, {}
        if harm and self._some(0.12):
            method = random.choice(hostile.METHODS)
        if harm and self._some(0.25):
            names = random.sample(sorted(hostile.HEADERS), random.randint(1, 3))
            headers = {name: random.choice(hostile.HEADERS[name]) for name in names}
        elif self._some(0.2):
            headers = {"HX-Request": "true"}
        if harm and self._some(0.06):
            name = random.choice(sorted(hostile.COOKIES))
            cookies = {name: random.choice(hostile.COOKIES[name])}
        return HostileRequest(
            row.name, actor, method, path, query, body, content_type, headers, cookies, not harm
        )

    def _some(self, share: float) -> bool:
        return self.random.random() < share

    def _form(self, row: Row, method: str) -> KnownForm | None:
        known = [form for form in self.forms.get(row.name, ()) if form.method == method]
        return self.random.choice(known) if known else None

    def _path(self, row: Row, form: KnownForm | None, harm: bool) -> str:
        if harm and row.parts and self._some(0.2):
            return self._damaged_path(row)
        if form and self._some(0.7):
            return form.path.partition("?")[0]
        return reverse(row.name, args=[self._part(name, harm) for name in row.parts])

    def _part(self, name: str, harm: bool) -> Any:
        thing = self.things[name]
        if isinstance(thing, Model):
            if harm and self._some(0.3):  # what came of other requests
                newest = type(thing)._default_manager.order_by("-pk").first()
                thing = newest or thing
            return thing.pk
        if name == "file_kind":
            return self.random.choice(("musicxml", "mid", "mxl", "svg")) if harm else thing
        return thing

    def _damaged_path(self, row: Row) -> str:
        """The address with one of its parts hostile, or all of it with something behind."""
        good = [str(self._part(name, harm=False)) for name in row.parts]
        damaged = self.random.randrange(len(good))
        good[damaged] = hostile.part(self.random)
        path = _pattern(row.name, len(row.parts))
        for value in good:
            path = path.replace("\0", value, 1)
        return path

    def _content(
        self, row: Row, method: str, form: KnownForm | None, harm: bool
    ) -> tuple[str, bytes, str]:
        """Query, body and what kind of body it is."""
        pairs = form.filled(self.random) if form else []
        query = form.path.partition("?")[2] if form else ""
        if harm:
            pairs = self._done_to(pairs)
        if method not in ("POST", "PATCH"):
            extra = self._hostile_query() if harm and self._some(0.4) else []
            return _encoded([*pairs, *extra]) or query, b"", ""
        if harm and self._some(0.15):
            query = _encoded(self._hostile_query())
        if harm and self._some(0.05):
            return (
                query,
                self.random.choice(hostile.BODIES),
                self.random.choice((*hostile.CONTENT_TYPES, JSON, FORM)),
            )
        sent = json_for((row.name, method), self.random, self.things)
        if sent is not None or row.api:
            return query, self._json(sent if sent is not None else {}, harm), JSON
        return query, *self._form_body(form, pairs, harm)

    def _form_body(
        self, form: KnownForm | None, pairs: list[tuple[str, str]], harm: bool
    ) -> tuple[bytes, str]:
        files = form.files if form else []
        if not files and not (harm and self._some(0.1)):
            kind = FORM
            if harm and self._some(0.03):
                kind = self.random.choice(hostile.CONTENT_TYPES)
            return _encoded(pairs).encode(), kind
        content: dict[str, Any] = {}
        for name, value in pairs:
            content.setdefault(name.replace("\r", "").replace("\n", ""), []).append(value)
        for name in files or ["file"]:
            content[name] = self._upload(harm)
        kind = MULTIPART_CONTENT
        if harm and self._some(0.05):
            kind = f"{MULTIPART_CONTENT}; charset={self.random.choice(('base64', 'utf-16', 'x'))}"
        return encode_multipart(BOUNDARY, content).replace(b"\xed\xa0\x80", b"?"), kind

    def _upload(self, harm: bool) -> SimpleUploadedFile:
        random = self.random
        if not harm or self._some(0.4):
            name, data = "Mine.mid", self.things["midi_file"]
        else:
            name, data = "a.mid", random.choice(hostile.FILES)
        if harm and self._some(0.5):
            name = random.choice(hostile.FILE_NAMES)
        file = SimpleUploadedFile("a.mid", data, random.choice(("audio/midi", "", "x", "text/xml")))
        file._name = name.replace("\r", "").replace("\n", "")
        return file

    def _done_to(self, pairs: list[tuple[str, str]]) -> list[tuple[str, str]]:
        """Some of the values hostile, and now and then a name, one more or one less."""
        random, pairs = self.random, list(pairs)
        for _ in range(random.choice((0, 1, 1, 1, 2, 3))):
            at = random.randrange(len(pairs) + 1)
            if at == len(pairs):
                name = random.choice(pairs)[0] if pairs else hostile.text(random)[:200]
                pairs.append((name, hostile.text(random)))
            elif self._some(0.1):
                pairs.pop(at)
            elif self._some(0.1):
                pairs[at] = (hostile.text(random, pairs[at][0])[:300], pairs[at][1])
            else:
                pairs[at] = (pairs[at][0], hostile.text(random, pairs[at][1]))
        if pairs and self._some(0.005):
            pairs += [random.choice(pairs)] * 1100
        return pairs

    def _hostile_query(self) -> list[tuple[str, str]]:
        """Of the names that views ask for, and of others."""
        names = QUERY_NAMES
        chosen = self.random.sample(names, self.random.randint(1, 3))
        return [(name, hostile.text(self.random)) for name in chosen]

    def _json(self, sent: dict[str, Any], harm: bool) -> bytes:
        random, whole = self.random, sent
        for _ in range(random.choice((0, 1, 1, 1, 2)) if harm else 0):
            name = random.choice([*sent, "x", hostile.text(random)[:50]])
            if isinstance(sent.get(name), list) and sent[name] and self._some(0.6):
                inside = [*sent[name]]
                at = random.randrange(len(inside))
                inside[at] = hostile.json_value(random, inside[at])
                sent = sent | {name: inside}
            elif isinstance(sent.get(name), dict) and sent[name] and self._some(0.6):
                key = random.choice(sorted(sent[name]))
                sent = sent | {name: sent[name] | {key: hostile.json_value(random)}}
            else:
                sent = sent | {name: hostile.json_value(random, sent.get(name))}
            whole = sent
        if harm and self._some(0.05):
            return json.dumps(hostile.json_value(random, whole)).encode()
        return json.dumps(whole).encode()


def _pattern(name: str, parts: int) -> str:
    """The address with a NUL for each of its parts."""
    namespace, _, local = name.partition(":")
    resolver = get_resolver()
    prefix, inner = resolver.namespace_dict[namespace]
    route = inner.reverse_dict.getlist(local)[0][0][0][0]
    for _ in range(parts):
        start, end = route.index("%("), route.index(")s") + 2
        route = f"{route[:start]}\0{route[end:]}"
    return f"/{prefix}{route}"


def _encoded(pairs: list[tuple[str, str]]) -> str:
    return urlencode(pairs, quote_via=quote, errors="replace")
