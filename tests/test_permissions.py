"""Every row of the permission table, both ways: who may, may; who may not, may not."""

from collections.abc import Iterable, Iterator
from itertools import product
from typing import Any
from uuid import UUID

import pytest
from django.contrib.auth.tokens import default_token_generator
from django.core.cache import cache
from django.db import transaction
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode

from assignments.days import today_in
from assignments.models import AssignedVariation
from rhythms.engine import Bar
from rhythms.engine.fills.fill import snare_fill
from rhythms.models import Rendering
from rhythms.notation.sounds import SOUNDS_VERSION
from rhythms.renderings.download_response import ticket_of
from rhythms.renderings.rendering_store import rendering_for
from studio.accounts.account_mails import opening_token
from studio.models import SignInLink, Student, Teacher
from tests import cast
from tests.assignments import making
from tests.permissions import BOTH, EVERYONE, ROWS, SIGNED_IN, Row

pytestmark = pytest.mark.django_db

TURNED_AWAY = {401, 403, 404, 405}
SERVER_ERRORS = set(range(500, 600))
SIGN_IN = reverse("studio:sign-in")
#: Parts of addresses that come with the program, the same for every studio.
OF_THE_PROGRAM = {"library_groove"}
OF_SOMEBODY = [
    row
    for row in ROWS
    if row.parts and row.who != EVERYONE and OF_THE_PROGRAM.isdisjoint(row.parts)
]
OUTSIDERS = {"teacher": ("other_teacher",), "student": ("other_student", "classmate")}
Case = tuple[Row, str, str]


@pytest.fixture(scope="module")
def things(django_db_setup, django_db_blocker) -> Iterator[dict[str, Any]]:
    """All that stands in an address, by the name of the part, and a client for each person.

    Made once: every test is undone to here.
    """
    with django_db_blocker.unblock(), transaction.atomic():
        yield made()
        transaction.set_rollback(True)


def made() -> dict[str, Any]:
    studio, teacher = cast.open_a_studio("Room 4", "ines@example.org")
    student = cast.add_student(studio, "Mira", lesson_weekday=2)
    assignment = making.give(student)
    variation = making.first_fill(assignment)
    rendering = rendering_of_a_bar_of_its_own(making.first_fill(making.give(student, 1, seed=2)))
    secret = SignInLink.issue(student)
    return {
        "student": student,
        "assignment": assignment,
        "variation": variation,
        "rendering": rendering,
        "entry": making.logged(student, 5, today_in(studio), variation),
        "take": making.taken(student, variation),
        "kit": studio.kits.first(),
        "bar": studio.bars.first(),
        "groove": making.make_groove(studio),
        "library_groove": "rock",
        "bar_import": studio.bar_imports.create(name="Chapter 2.mid", data=b"MThd"),
        "teacher_take": studio.teacher_takes.create(name="Mine.mid", key="1"),
        "rule_set": studio.rule_sets.first(),
        "ladder": studio.ladders.get(),
        "step": studio.ladders.get().steps.kept().first(),
        "link_secret": secret,
        "sign_in_link": student.sign_in_links.first(),
        "uid_of_teacher": urlsafe_base64_encode(force_bytes(teacher.pk)),
        "reset_token": default_token_generator.make_token(teacher),
        "opening_token": opening_token("new@example.org"),
        "ticket": str(ticket_of(rendering, "fill.svg", student)),
        "sounds_version": SOUNDS_VERSION,
        "sound_slug": "floor-tom-ghost",
        "file_kind": "musicxml",
        "clients": clients(teacher, student),
    }


def clients(teacher: Teacher, student: Student) -> dict[str, Client]:
    """Everybody who may ask: those of this studio, those of another one, and who is nobody."""
    elsewhere, stranger = cast.open_a_studio("The cellar", "olu@example.org")
    return {
        "visitor": Client(),
        "operator": Client(headers={"Authorization": "Bearer of the tests"}),
        "teacher": cast.signed_in_teacher(teacher),
        "student": cast.signed_in_student(student),
        "classmate": cast.signed_in_student(cast.add_student(student.studio, "Jonas")),
        "other_teacher": cast.signed_in_teacher(stranger),
        "other_student": cast.signed_in_student(cast.add_student(elsewhere, "Tariq")),
    }


def rendering_of_a_bar_of_its_own(variation: AssignedVariation) -> Rendering:
    """Of a fill that only this student has, on a bar that only this studio has."""
    bar = Bar.from_counts("1 2 3 e & a 4 trip let")
    variation.assignment.studio.bars.create(name="Own", meter="4/4", counts=bar.counts())
    variation.rendering = rendering_for(snare_fill(bar))
    variation.save()
    return variation.rendering


@pytest.fixture(autouse=True)
def _numbers_have_a_token(settings):
    settings.METRICS_TOKEN = "of the tests"


@pytest.fixture
def client_of(things):
    """A browser of its own for each person, with the session that they have."""

    def client(person: str, **options: bool) -> Client:
        browser = Client(**options)
        browser.defaults.update(things["clients"][person].defaults)
        browser.cookies.load(things["clients"][person].cookies.output(header="", sep=";"))
        return browser

    return client


@pytest.fixture
def address(things):
    def address(row: Row) -> str:
        values = [things[part] for part in row.parts]
        return reverse(row.name, args=[getattr(value, "pk", value) for value in values])

    return address


def names_of(resolver: URLResolver, namespace: str = "") -> Iterator[str]:
    for pattern in resolver.url_patterns:
        if isinstance(pattern, URLResolver):
            inner = f"{namespace}{pattern.namespace}:" if pattern.namespace else namespace
            yield from names_of(pattern, inner)
        else:
            assert isinstance(pattern, URLPattern)
            yield f"{namespace}{pattern.name}"


def may(role: str, method: str, name: str) -> bool:
    return any(row.name == name and role in row.who and method in row.methods for row in ROWS)


@pytest.fixture
def outcomes(client_of, address):
    """What each case of row, role and method is answered, undone again: by its words.

    That is the status, or where the answer sends if that is to sign in.
    """

    def outcomes(cases: Iterable[Case], at=address, **options: bool) -> dict[str, int | str]:
        found = {}
        for row, role, method in cases:
            cache.clear()
            with transaction.atomic():
                client = client_of(role, raise_request_exception=False, **options)
                answer = client.generic(method, at(row))
                to = answer.headers.get("Location", "").partition("?")
                outcome = "".join(to[:2]) if to[0] == SIGN_IN else answer.status_code
                found[f"{row.name} {role} {method}"] = outcome
                transaction.set_rollback(True)
        assert found
        return found

    return outcomes


def other_than(expected: set, outcomes: dict[str, int | str]) -> dict[str, int | str]:
    return {case: outcome for case, outcome in outcomes.items() if outcome not in expected}


def test_every_address_has_a_row():
    assert set(names_of(get_resolver())) - {row.name for row in ROWS} == set()


def test_every_row_has_an_address():
    assert {row.name for row in ROWS} - set(names_of(get_resolver())) == set()


def test_who_may_is_let_in(outcomes):
    cases = [(row, *case) for row in ROWS for case in product(row.who, row.methods)]
    kept_out = {
        case: outcome
        for case, outcome in outcomes(cases).items()
        if outcome in TURNED_AWAY | SERVER_ERRORS | {f"{SIGN_IN}?"}
    }
    assert kept_out == {}


def test_the_wrong_role_is_refused(outcomes):
    cases = [
        (row, role, method)
        for row in ROWS
        for role, method in product(SIGNED_IN, row.methods)
        if not may(role, method, row.name)
    ]
    assert other_than({403}, outcomes(cases)) == {}


@pytest.mark.parametrize(("api", "expected"), [(False, {SIGN_IN, f"{SIGN_IN}?"}), (True, {401})])
def test_a_visitor_is_asked_to_sign_in(outcomes, api, expected):
    rows = [row for row in ROWS if row.api == api and "visitor" not in row.who]
    cases = [(row, "visitor", method) for row in rows for method in row.methods]
    assert other_than(expected, outcomes(cases)) == {}


def test_what_is_another_persons_does_not_exist(outcomes):
    cases = [
        (row, outsider, method)
        for row in OF_SOMEBODY
        for role in row.who
        for outsider, method in product(OUTSIDERS[role], row.methods)
    ]
    assert other_than({404}, outcomes(cases)) == {}


def test_a_take_of_a_removed_student_does_not_exist(outcomes, things):
    rows = [row for row in ROWS if "take" in row.parts and "teacher" in row.who]
    things["student"].remove()
    assert other_than({404}, outcomes((row, "teacher", row.methods[0]) for row in rows)) == {}


@pytest.mark.parametrize("unknown", [987_654_321, 10**20], ids=["free", "past 64 bits"])
def test_an_unknown_id_does_not_exist(outcomes, unknown, things):
    """An id of the kind that each part has, but nobody's."""

    def nobodys(row: Row) -> str:
        ids = [getattr(things[part], "pk", None) for part in row.parts]
        return reverse(row.name, args=[like(pk, unknown) for pk in ids])

    cases = [(row, role, row.methods[0]) for row in OF_SOMEBODY for role in row.who]
    assert other_than({404}, outcomes(cases, at=nobodys)) == {}


def like(pk, number: int):
    """The number as an id of the same kind as `pk`: a key in base 16 is a text."""
    if isinstance(pk, str):
        return f"{number:064x}"
    return UUID(int=number) if isinstance(pk, UUID) else number


def test_other_methods_are_not_answered(outcomes):
    answered = {(row.name, method) for row in ROWS for method in row.methods}
    cases = [
        (row, row.who[-1], method)
        for row in ROWS
        for method in BOTH
        if (row.name, method) not in answered
    ]
    assert other_than({405}, outcomes(cases)) == {}


def test_a_forged_post_is_refused(outcomes):
    cases = [(row, role, "POST") for row in ROWS if "POST" in row.methods for role in row.who]
    assert other_than({403}, outcomes(cases, enforce_csrf_checks=True)) == {}
