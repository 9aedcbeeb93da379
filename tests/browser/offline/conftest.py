"""A student's phone that keeps their pages, with a network that can be switched off."""

from collections.abc import Iterator

import pytest
from django.urls import reverse
from playwright.sync_api import Page

from assignments.models import AssignedVariation
from tests.assignments.making import first_fill, give
from tests.browser.offline.student_steps import set_network, wait_for_copies
from tests.browser.page_checks import PHONE
from tests.browser.signing_in import open_as

#: What the console says where it is meant to go wrong.
MEANT = (
    "ERR_INTERNET_DISCONNECTED",
    "ERR_CONNECTION",
    "ERR_CONTENT_LENGTH_MISMATCH",
    "ERR_EMPTY_RESPONSE",
    "ERR_INCOMPLETE_CHUNKED_ENCODING",
    "ERR_RESPONSE_HEADERS_TRUNCATED",
    "ERR_SOCKET_NOT_CONNECTED",
    "ERR_TIMED_OUT",
    "500",
    "503",
    "401",
    "403",
    "409",
    "400",
    "422",
    "ERR_FAILED",
)


@pytest.fixture
def fill(student) -> AssignedVariation:
    return first_fill(give(student, 3, tempo=88))


@pytest.fixture
def fill_page(fill) -> str:
    return reverse("assignments:fill", args=[fill.pk])


@pytest.fixture
def device(open_page, all_sounds, student, fill_page) -> Page:
    """A phone with everything copied, on the page of the fill."""
    page = open_page(PHONE, keeps_pages=True)
    open_as(page, student, "/today/")
    wait_for_copies(page, fill_page, "/today/", "/fills/", "/log/", "/my-progress/")
    page.goto(fill_page)
    return page


@pytest.fixture
def meant_to_fail(console_errors) -> Iterator[None]:
    """Requests may fail in this test; other errors may not."""
    yield
    failed = "Failed to load resource"
    console_errors[:] = [
        message
        for message in console_errors
        if not (failed in message and any(sign in message for sign in MEANT))
    ]


@pytest.fixture
def off(device, meant_to_fail) -> Page:
    """The same phone in the basement."""
    set_network(device, False)
    return device
