"""A deployed site as its people use it: by HTTPS, forms and the API, with cookies of their own."""

from __future__ import annotations

import http.client
import json
import re
import ssl
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Mapping
from http.cookiejar import CookieJar
from typing import Any, NamedTuple

from lxml import html

from tests.deployment.machine import Machine

SITE = "localhost"
BASE = f"https://{SITE}"
#: Seconds after which a device gives an answer up.
PATIENCE = 20
#: Addresses that everybody meets; each must answer 200 once the page is through.
OF_THE_TEACHER = ("/roster/", "/bars/", "/rule-sets/", "/assign/", "/progress/", "/comfort/")
OF_THE_STUDENT = ("/today/", "/fills/", "/my-progress/", "/takes/", "/log/")


class Answer(NamedTuple):
    """What came back; status 0 where nothing did."""

    status: int
    text: str = ""
    address: str = ""


class Visitor:
    """A browser without scripts: keeps cookies, follows redirections, sends forms."""

    def __init__(self) -> None:
        self._cookies = CookieJar()
        # The page makes a certificate of its own.
        self._opener = urllib.request.build_opener(
            urllib.request.HTTPSHandler(context=ssl._create_unverified_context()),
            urllib.request.HTTPCookieProcessor(self._cookies),
        )

    def get(self, path: str) -> Answer:
        return self._ask(urllib.request.Request(urllib.parse.urljoin(BASE, path)))

    def send(self, path: str, fields: Mapping[str, Any] | list[tuple[str, Any]]) -> Answer:
        """Send a form's fields."""
        return self._post(path, urllib.parse.urlencode(fields, doseq=True).encode())

    def send_json(self, path: str, content: object) -> Answer:
        kind = {"Content-Type": "application/json", "Accept": "application/json"}
        return self._post(path, json.dumps(content).encode(), kind)

    def _post(self, path: str, body: bytes, headers: Mapping[str, str] | None = None) -> Answer:
        token = {c.name: c.value or "" for c in self._cookies}.get("csrftoken", "")
        sent = {"Referer": f"{BASE}/", "X-CSRFToken": token} | dict(headers or {})
        return self._ask(urllib.request.Request(urllib.parse.urljoin(BASE, path), body, sent))

    def _ask(self, request: urllib.request.Request) -> Answer:
        try:
            with self._opener.open(request, timeout=PATIENCE) as answer:
                return Answer(answer.status, answer.read().decode(errors="replace"), answer.url)
        except urllib.error.HTTPError as error:
            with error:
                return Answer(error.code, error.read().decode(errors="replace"))
        except (OSError, http.client.HTTPException):
            return Answer(0)


def fields_of(page: str, form: str) -> list[tuple[str, str]]:
    """What a form of a page would send, as it is filled in; `form` is an XPath."""
    (found,) = html.fromstring(page).xpath(form)
    return [(name, value) for name, value in found.form_values()]


class People(NamedTuple):
    """A teacher and students who are signed in."""

    teacher: Visitor
    students: list[Visitor]


def filled_studio(machine: Machine) -> People:
    """Fill the invented studio, and sign in as everybody there."""
    told = machine.run(
        "sed 's/^DEBUG=.*/DEBUG=true/' /etc/fillwright.env > /root/filled.env;"
        "FILLWRIGHT_ENV=/root/filled.env fillwright demo --no-serve; rm /root/filled.env"
    ).stdout
    teacher = Visitor()
    fields = dict(fields_of(teacher.get("/sign-in/").text, "//main//form"))
    email = re.search(r"e-mail +(\S+)", told)
    password = re.search(r"password +(.+)", told)
    assert email, told
    assert password, told
    signed_in = teacher.send(
        "/sign-in/", fields | {"username": email[1], "password": password[1].strip()}
    )
    assert signed_in.status == 200, signed_in
    return People(teacher, [_entered(path) for path in re.findall(r"/enter/\S+/", told)])


def _entered(path: str) -> Visitor:
    student = Visitor()
    fields = dict(fields_of(student.get(path).text, "//main//form"))
    answer = student.send(path, fields)
    assert "/today/" in answer.address, answer
    return student


def check_pages(people: People) -> None:
    """Raises AssertionError where a page does not answer."""
    asked = [(people.teacher, OF_THE_TEACHER)] + [(one, OF_THE_STUDENT) for one in people.students]
    for visitor, paths in asked:
        for path in paths:
            answer = visitor.get(path)
            assert answer.status == 200, f"{path} answers {answer.status}: {answer.text[:500]}"
            assert answer.address == BASE + path, f"{path} leads to {answer.address}"
