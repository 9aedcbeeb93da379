"""A reminder as it comes to a device: sent by the site, shown by the browser, touched.

Between the two stands the browser's push service, which no test reaches: one of ours takes what the
site sends, and the DevTools protocol hands that to the worker as the browser's own would.
"""

import json
import os
from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from assignments.reminders.sending import WORDS, remind
from tests.assignments.reminders.conftest import (  # noqa: F401 - found by their names here
    at_ten_past_five,
    browser_keys,
    push_service,
    reachable,
    reminder,
)
from tests.browser import desktop
from tests.browser.conftest import QUIET_ARGS
from tests.browser.page_checks import PHONE
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)
SHOWN = """async () => {
    const shown = await registration.getNotifications();
    return shown.map(({ title, body }) => [title, body]);
}"""
ICON = "async () => (await registration.getNotifications())[0].icon"
#: Which pages the browser brought to the front; it does so only for who was really touched.
WATCH_FOCUS = """() => {
    self.focused = [];
    const { focus } = WindowClient.prototype;
    WindowClient.prototype.focus = async function () {
        const there = await focus.call(this);
        self.focused.push(new URL(there.url).pathname);
        return there;
    };
}"""


def until(page: Page, is_so: Callable[[], bool]) -> None:
    """Wait for what comes by other ways than the page."""
    for _ in range(300):
        if is_so():
            return
        page.wait_for_timeout(50)
    raise AssertionError("never so")


@pytest.fixture
def place(tmp_path) -> Iterator[desktop.Desktop]:
    if reason := desktop.missing():
        pytest.skip(reason)
    place = desktop.Desktop(tmp_path)
    yield place
    place.end()


@pytest.fixture
def device(
    browser_type, place, tmp_path, live_server, all_answered, same_sounds, same_drawings
) -> Iterator[BrowserContext]:
    """A browser with windows and a profile, that may show messages of the site."""
    context = browser_type.launch_persistent_context(
        str(tmp_path / "profile"),
        executable_path=desktop.BROWSER,
        args=QUIET_ARGS,
        env={**os.environ, "DBUS_SESSION_BUS_ADDRESS": place.address},
        viewport=PHONE,
        base_url=live_server.url,
        service_workers="allow",
    )
    context.grant_permissions(["notifications"], origin=live_server.url)
    yield context
    context.close()


class Phone:
    """The device of a student, with the site's worker."""

    def __init__(self, context: BrowserContext, student, place: desktop.Desktop) -> None:
        self.context, self.place, self.page = context, place, context.pages[0]
        self.tools = context.new_cdp_session(self.page)
        registrations: list[dict] = []
        self.tools.on(
            "ServiceWorker.workerRegistrationUpdated",
            lambda event: registrations.extend(event["registrations"]),
        )
        self.tools.send("ServiceWorker.enable")
        with context.expect_event("serviceworker") as started:
            open_as(self.page, student, "/fills/")
        self.page.evaluate("navigator.serviceWorker.ready.then(() => null)")
        self.worker = started.value
        self.registration = registrations[-1]

    def push(self, message: dict[str, str]) -> None:
        self.tools.send(
            "ServiceWorker.deliverPushMessage",
            {
                "origin": self.registration["scopeURL"].rstrip("/"),
                "registrationId": self.registration["registrationId"],
                "data": json.dumps(message),
            },
        )

    def wait_for_messages(self, number: int) -> list[dict[str, str]]:
        until(self.page, lambda: len(self.place.shown()) == number)
        return self.place.shown()


@pytest.fixture
def phone(device, student, variation, place) -> Phone:
    return Phone(device, student, place)


@pytest.fixture
def message(reminder, reachable, push_service, browser_keys) -> dict[str, str]:  # noqa: F811
    """What the site sent to the student's device, as the browser decrypts it."""
    remind(reminder.pk)
    [(_, body)] = push_service.came
    return browser_keys.read(body)


def test_what_the_site_sends_is_shown_once_in_its_words(message, phone):
    phone.push(message)
    [shown] = phone.wait_for_messages(1)
    assert shown["title"] == "Fillwright"
    assert shown["body"].endswith(WORDS)
    assert phone.worker.evaluate(SHOWN) == [["Fillwright", WORDS]]
    assert phone.page.request.get(phone.worker.evaluate(ICON)).ok


def test_one_that_comes_again_takes_the_place_of_the_first(message, phone):
    phone.push(message)
    phone.wait_for_messages(1)
    phone.push({**message, "body": "Again"})
    until(phone.page, lambda: phone.worker.evaluate(SHOWN) == [["Fillwright", "Again"]])
    [shown] = phone.wait_for_messages(1)
    assert shown["body"].endswith("Again")


def test_a_touch_on_it_opens_today_and_puts_it_away(message, phone):
    phone.push(message)
    [shown] = phone.wait_for_messages(1)
    with phone.context.expect_page() as opened:
        phone.place.touch(shown["number"])
    expect(opened.value.get_by_role("heading", name="Today")).to_be_visible()
    assert phone.worker.evaluate(SHOWN) == []


@pytest.mark.parametrize("address", ["/today/", "/today/?minutes=10", "/today/#stage"])
def test_where_today_is_open_already_a_touch_brings_that_to_the_front(message, phone, address):
    phone.page.goto(address)
    other = phone.context.new_page()
    other.goto("/fills/")
    phone.worker.evaluate(WATCH_FOCUS)
    phone.push(message)
    [shown] = phone.wait_for_messages(1)
    phone.place.touch(shown["number"])
    until(phone.page, lambda: phone.worker.evaluate("() => self.focused") == ["/today/"])
    assert len(phone.context.pages) == 2
