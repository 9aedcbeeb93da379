"""Every address of the site is answered while Redis is away."""

import pytest

from tests.permissions import ROWS
from tests.test_permissions import address, client_of, each, things  # noqa: F401 - fixtures

pytestmark = [pytest.mark.services, pytest.mark.django_db]


@each((row, role, method) for row in ROWS for role in row.who for method in row.methods)
def test_an_address_answers_without_redis(case, no_redis, client_of, address):  # noqa: F811
    row, role, method = case
    assert client_of(role).generic(method, address(row)).status_code < 500
