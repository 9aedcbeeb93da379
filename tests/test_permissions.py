"""Every row of the permission table, both ways: who may, may; who may not, may not."""

from collections.abc import Iterator
from itertools import product
from uuid import UUID

import pytest
from django.contrib.auth.tokens import default_token_generator
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode

from rhythms.engine import Bar
from rhythms.engine.fills.fill import snare_fill
from rhythms.notation.sounds import SOUNDS_VERSION
from rhythms.renderings.download_response import ticket_of
from rhythms.renderings.rendering_store import rendering_for
from studio.models import SignInLink
from tests.permissions import BOTH, EVERYONE, ROWS, SIGNED_IN, Row

pytestmark = pytest.mark.django_db

TURNED_AWAY = {401, 403, 404, 405}
OUTSIDERS = {
    "teacher": ("other_teacher_client",),
    "student": ("other_student_client", "classmate_client"),
}


@pytest.fixture
def sign_in_link(student):
    SignInLink.issue(student)
    return student.sign_in_links.first()


@pytest.fixture
def link_secret(student):
    return SignInLink.issue(student)


@pytest.fixture
def uid_of_teacher(teacher):
    return urlsafe_base64_encode(force_bytes(teacher.pk))


@pytest.fixture
def reset_token(teacher):
    return default_token_generator.make_token(teacher)


@pytest.fixture
def kit(studio):
    return studio.kits.first()


@pytest.fixture
def rendering(variation):
    """Of a fill that only this student has, on a bar that only this studio has."""
    bar = Bar.from_counts("1 2 3 e & a 4 trip let")
    variation.assignment.studio.bars.create(name="Own", meter="4/4", counts=bar.counts())
    variation.rendering = rendering_for(snare_fill(bar))
    variation.save()
    return variation.rendering


@pytest.fixture
def sounds_version():
    return SOUNDS_VERSION


@pytest.fixture
def sound_slug():
    return "floor-tom-ghost"


@pytest.fixture
def ticket(variation, student):
    """For a file of the student's."""
    return str(ticket_of(variation.rendering, "fill.svg", student))


@pytest.fixture
def file_kind():
    return "musicxml"


@pytest.fixture
def visitor_client():
    return Client()


def names_of(resolver: URLResolver, namespace: str = "") -> Iterator[str]:
    for pattern in resolver.url_patterns:
        if isinstance(pattern, URLResolver):
            inner = f"{namespace}{pattern.namespace}:" if pattern.namespace else namespace
            yield from names_of(pattern, inner)
        else:
            assert isinstance(pattern, URLPattern)
            yield f"{namespace}{pattern.name}"


def address(row: Row, request) -> str:
    values = [request.getfixturevalue(part) for part in row.parts]
    return reverse(row.name, args=[getattr(value, "pk", value) for value in values])


def unknown_id(part: str, number: int, request) -> int | UUID:
    """Return an id of the kind that this part has, but nobody's."""
    pk = getattr(request.getfixturevalue(part), "pk", None)
    return UUID(int=number) if isinstance(pk, UUID) else number


def may(role: str, method: str, name: str) -> bool:
    return any(row.name == name and role in row.who and method in row.methods for row in ROWS)


def client_of(role: str, request) -> Client:
    return request.getfixturevalue(f"{role}_client")


def each(rows_and_more):
    """Parametrize with readable ids."""
    rows_and_more = list(rows_and_more)
    ids = [f"{row.name} {' '.join(more)}" for row, *more in rows_and_more]
    return pytest.mark.parametrize("case", rows_and_more, ids=ids)


def test_every_address_has_a_row():
    assert set(names_of(get_resolver())) - {row.name for row in ROWS} == set()


def test_every_row_has_an_address():
    assert {row.name for row in ROWS} - set(names_of(get_resolver())) == set()


@each((row, role, method) for row in ROWS for role, method in product(row.who, row.methods))
def test_who_may_is_let_in(case, request):
    row, role, method = case
    response = client_of(role, request).generic(method, address(row, request))
    assert response.status_code not in TURNED_AWAY
    assert response.status_code < 500
    assert "/sign-in/?next=" not in response.headers.get("Location", "")


@each(
    (row, role, method)
    for row in ROWS
    for role, method in product(SIGNED_IN, row.methods)
    if not may(role, method, row.name)
)
def test_the_wrong_role_is_refused(case, request):
    row, role, method = case
    response = client_of(role, request).generic(method, address(row, request))
    assert response.status_code == 403


@each((row, method) for row in ROWS if "visitor" not in row.who for method in row.methods)
def test_a_visitor_is_asked_to_sign_in(case, request, client):
    row, method = case
    response = client.generic(method, address(row, request))
    if row.api:
        assert response.status_code == 401
    else:
        assert response.status_code == 302
        assert response.headers["Location"].startswith(reverse("studio:sign-in"))


@each(
    (row, outsider, method)
    for row in ROWS
    if row.parts and row.who != EVERYONE
    for role in row.who
    for outsider, method in product(OUTSIDERS[role], row.methods)
)
def test_what_is_another_persons_does_not_exist(case, request):
    row, outsider, method = case
    response = request.getfixturevalue(outsider).generic(method, address(row, request))
    assert response.status_code == 404


@pytest.mark.parametrize("unknown", [987_654_321, 10**20], ids=["free", "past 64 bits"])
@each((row, role) for row in ROWS if row.parts and row.who != EVERYONE for role in row.who)
def test_an_unknown_id_does_not_exist(case, unknown, request):
    row, role = case
    nowhere = reverse(row.name, args=[unknown_id(part, unknown, request) for part in row.parts])
    response = client_of(role, request).generic(row.methods[0], nowhere)
    assert response.status_code == 404


@each(
    (row, row.who[-1], method)
    for row in ROWS
    for method in BOTH
    if not any(method in other.methods for other in ROWS if other.name == row.name)
)
def test_other_methods_are_not_answered(case, request):
    row, role, method = case
    response = client_of(role, request).generic(method, address(row, request))
    assert response.status_code == 405


@each((row, role) for row in ROWS if "POST" in row.methods for role in row.who)
def test_a_forged_post_is_refused(case, request):
    row, role = case
    client = client_of(role, request)
    client.handler.enforce_csrf_checks = True
    assert client.post(address(row, request)).status_code == 403
