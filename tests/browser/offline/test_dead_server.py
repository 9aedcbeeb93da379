"""The device believes that it has a network, and the site does not answer: nothing is lost."""

from collections.abc import Callable, Iterator

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from assignments.models import MasteryEvent, Take
from tests.browser.offline.relay import Relay
from tests.browser.offline.student_steps import state, wait_until
from tests.browser.page_checks import PHONE
from tests.browser.signing_in import open_as

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("meant_to_fail")]

NOTHING_WAITS = "() => JSON.parse(localStorage['fillwright-afterwards'] ?? '[]').length === 0"


@pytest.fixture
def live_server(live_server) -> Iterator[Relay]:
    """The site, behind a network that can be cut without the device knowing."""
    relay = Relay(live_server)
    yield relay
    relay.start()
    relay.stop()


def come_back(page: Page) -> None:
    """What would be tried in some seconds is tried now."""
    page.evaluate("dispatchEvent(new Event('online'))")
    wait_until(page, f"async {NOTHING_WAITS}")


@pytest.mark.parametrize("fault", [Relay.stop, Relay.hang, Relay.lose_answers])
def test_a_fill_marked_as_mastered_is_kept_and_sent_once(
    device, live_server, fault: Callable[[Relay], None]
):
    fault(live_server)
    device.get_by_role("button", name="Mark as mastered").click()
    expect(device.locator("#messages")).to_contain_text("Kept on this device: mastered.")
    expect(state(device)).to_contain_text("1 change waits")
    live_server.start()
    come_back(device)
    expect(state(device)).to_be_hidden()
    assert MasteryEvent.objects.count() == 1


def test_a_fill_marked_as_mastered_says_so_and_can_be_taken_back(device, live_server):
    device.get_by_role("button", name="Mark as mastered").click()
    expect(device.locator("#messages")).to_contain_text("Mastered: Line 4")
    device.locator("#messages").get_by_role("button", name="Undo").click()
    expect(device.locator("#messages")).to_contain_text("Back on Today: Line 4")


@pytest.mark.parametrize("fault", [Relay.stop, Relay.hang])
def test_a_take_is_kept_and_sent_once(
    open_page, student, live_server, fault: Callable[[Relay], None]
):
    page = open_page(PHONE)
    open_as(page, student, reverse("assignments:record"))
    page.get_by_label("Click, with a bar counted in").uncheck()
    page.get_by_role("button", name="Record", exact=True).click()
    page.locator("[data-pad]").first.click()
    fault(live_server)
    page.get_by_role("button", name="Stop").click()
    expect(page.locator("[data-status]")).to_contain_text("Kept on this device.")
    expect(state(page)).to_contain_text("1 take waits")
    live_server.start()
    come_back(page)
    assert Take.objects.count() == 1
