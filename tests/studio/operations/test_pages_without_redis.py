"""Every address of the site is answered while Redis is away."""

import pytest

from tests.permissions import ROWS
from tests.test_permissions import address, client_of, things  # noqa: F401 - fixtures

pytestmark = [pytest.mark.services, pytest.mark.django_db]


CASES = [(row, role, method) for row in ROWS for role in row.who for method in row.methods]


@pytest.mark.parametrize(
    ("row", "role", "method"),
    CASES,
    ids=[f"{row.name} {role} {method}" for row, role, method in CASES],
)
def test_an_address_answers_without_redis(row, role, method, no_redis, client_of, address):  # noqa: F811
    assert client_of(role).generic(method, address(row)).status_code < 500
