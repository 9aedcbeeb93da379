"""What answers tell the browser, at every address of the permission table."""

from itertools import product

import pytest
from django.db import transaction
from django.urls import reverse

from studio.response_headers import ALLOWED, DENIED
from tests.permissions import READ, ROWS
from tests.test_permissions import address, client_of, things  # noqa: F401 - fixtures

pytestmark = pytest.mark.django_db

FROM_ONE_SITE = {
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
}
#: The same for everybody, and kept by browsers as long as its view says.
FOR_EVERYBODY = {"rhythms:sounds", "rhythms:sound"}


@pytest.fixture(scope="module")
def answered():
    """The headers of what was asked already: many tests look at the same answer."""
    return {}


@pytest.fixture
def headers_of(answered, client_of, address):  # noqa: F811
    def headers_of(row, role, method):
        asked = (row, role, method)
        if asked not in answered:
            with transaction.atomic():
                answered[asked] = client_of(role).generic(method, address(row)).headers
                transaction.set_rollback(True)
        return answered[asked]

    return headers_of


def words(row, *more) -> str:
    return " ".join([row.name, *more])


def test_what_somebody_who_is_signed_in_gets_is_not_kept(headers_of):
    cases = [
        (row, role, method)
        for row in ROWS
        if row.name not in FOR_EVERYBODY
        for role, method in product(row.who, row.methods)
        if role != "visitor"
    ]
    told = {words(*case): headers_of(*case)["Cache-Control"].split(", ") for case in cases}
    assert [case for case, kept in told.items() if not {"private", "no-store"} <= set(kept)] == []


@pytest.mark.parametrize("name", ["sounds", "sound"])
def test_sounds_are_kept_though_somebody_is_signed_in(name, client_of, address):  # noqa: F811
    row = next(row for row in ROWS if row.name == f"rhythms:{name}")
    assert "no-store" not in client_of("student").get(address(row)).headers["Cache-Control"]


def test_no_other_site_loads_it_and_no_page_uses_more_than_it_needs(headers_of):
    for row in ROWS:
        if row.methods != ("PATCH",):
            headers = headers_of(row, row.who[0], row.methods[0])
            assert {name: headers[name] for name in FROM_ONE_SITE} == FROM_ONE_SITE, row
            policy = dict(part.split("=") for part in headers["Permissions-Policy"].split(", "))
            assert {name for name, whom in policy.items() if whom == "(self)"} == set(ALLOWED), row
            assert {name for name, whom in policy.items() if whom == "()"} == set(DENIED), row


def test_what_is_coming_stays_allowed():
    assert {"microphone", "midi", "screen-wake-lock", "fullscreen"} <= set(ALLOWED)


def test_an_error_page_has_the_headers_too(client):
    headers = client.get("/nowhere/").headers
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "camera=()" in headers["Permissions-Policy"]


def test_only_an_address_that_is_a_secret_is_hidden_from_the_site_itself(headers_of):
    told = {
        row.name: headers_of(row, row.who[0], row.methods[0])["Referrer-Policy"]
        for row in ROWS
        if row.methods[0] in READ
    }
    hidden = {name for name, policy in told.items() if policy == "no-referrer"}
    assert hidden == {"studio:enter", "studio:open-studio"}
    assert set(told.values()) == {"same-origin", "no-referrer"}


class TestALinkThatIsLookedAt:
    """Browsers say that the origin of a form is "null" where its page hides its address."""

    @pytest.fixture
    def enter(self, things, client_of):  # noqa: F811
        link = reverse("studio:enter", args=[things["link_secret"]])

        def enter(at=link, **headers):
            client = client_of("visitor", enforce_csrf_checks=True)
            client.get(link)
            data = {"csrfmiddlewaretoken": client.cookies["csrftoken"].value}
            return client.post(at, data, headers={"Origin": "null", **headers})

        return enter

    def test_its_button_works(self, enter):
        assert enter(**{"Sec-Fetch-Site": "same-origin"}).status_code == 302

    def test_its_button_works_in_an_older_browser(self, enter):
        assert enter().status_code == 302

    @pytest.mark.parametrize("site", ["cross-site", "same-site", "none"])
    def test_no_other_site_can_press_it(self, enter, site):
        assert enter(**{"Sec-Fetch-Site": site}).status_code == 403

    def test_other_pages_take_no_form_of_nowhere(self, enter):
        assert enter(reverse("studio:sign-out")).status_code == 403

    @pytest.mark.parametrize("method", ["get", "head", "options"])
    def test_a_preview_changes_nothing(self, things, client_of, method):  # noqa: F811
        robot = client_of("visitor")
        getattr(robot, method)(reverse("studio:enter", args=[things["link_secret"]]))
        things["sign_in_link"].refresh_from_db()
        assert things["sign_in_link"].last_used_at is None
        assert "sessionid" not in robot.cookies

    def test_it_says_which_studio(self, things, client_of):  # noqa: F811
        page = client_of("visitor").get(reverse("studio:enter", args=[things["link_secret"]]))
        assert "Room 4" in page.content.decode()
