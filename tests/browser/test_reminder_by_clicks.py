"""A reminder as a student asks for it, and as it comes to a device."""

import json
from urllib.parse import urlsplit

import pytest
import vobject
from playwright.sync_api import Page, expect

from assignments.models import Reminder
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)
PAGE = "/reminder/"
SMALL = {"width": 320, "height": 568}


def ask(page: Page) -> None:
    page.get_by_role("button", name="Remind me on this device").click()


def test_the_page_is_for_everybody(screen, student):
    page = open_as(screen, student, PAGE)
    assert_accessible(page)


def test_it_fits_a_small_phone(open_page, student):
    assert_accessible(open_as(open_page(SMALL), student, PAGE))


def test_today_leads_there(phone, student, variation):
    page = open_as(phone, student, "/today/")
    page.get_by_role("link", name="Remind me").click()
    expect(page.get_by_role("heading", name="Remind me")).to_be_visible()


def test_a_browser_that_was_told_no_says_what_to_do(phone, student):
    """A browser without a window has nobody to ask: it answers as one that was told no."""
    page = open_as(phone, student, PAGE)
    ask(page)
    trouble = page.get_by_role("alert")
    expect(trouble).to_contain_text("Allow notifications in its settings of the site")
    expect(trouble).to_contain_text("take the file for your calendar")
    assert not Reminder.objects.exists()
    assert_accessible(page)


def test_where_no_push_service_is_reached_it_says_so(open_page, student):
    """It may show notifications; but this one, for tests, has no service that would bring any."""
    page = open_page(SMALL, keeps_pages=True)
    open_as(page, student, PAGE)
    page.context.grant_permissions(["notifications"])
    page.get_by_label("Monday").uncheck()
    ask(page)
    expect(page.get_by_role("alert")).to_contain_text("could not reach its service for reminders")
    expect(page.get_by_label("Monday")).not_to_be_checked()


def test_a_browser_that_shows_none_offers_the_calendar(phone, student):
    phone.add_init_script("delete window.PushManager")
    page = open_as(phone, student, PAGE)
    expect(page.get_by_text("This browser shows no reminders of a site.")).to_be_visible()
    expect(page.get_by_role("button", name="Remind me on this device")).to_be_hidden()
    assert_accessible(page)


def test_the_calendar_gets_a_file(phone, student):
    page = open_as(phone, student, PAGE)
    for day in ("Saturday", "Sunday"):
        page.get_by_label(day).uncheck()
    page.get_by_label("Time").fill("18:15")
    with page.expect_download() as download:
        page.get_by_role("button", name="Get a file for your calendar").click()
    assert download.value.suggested_filename == "five-minutes.ics"
    event = vobject.readOne(download.value.path().read_text()).vevent
    assert f"{event.dtstart.value:%H:%M}" == "18:15"
    assert event.rrule.value == "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR"


def test_what_is_missing_is_said_beside_its_field(phone, student):
    page = open_as(phone, student, PAGE)
    page.get_by_label("Time").fill("")
    page.get_by_role("button", name="Get a file for your calendar").click()
    expect(page.get_by_label("Time")).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#id_at_error")).to_have_text("Give a time such as 17:00.")


class TestAReminderThatComes:
    """Handed to the worker as a push service would, by the protocol of the browser's own tools."""

    MESSAGE = {"title": "Fillwright", "body": "Five minutes at the kit?", "open": "/today/"}

    @pytest.fixture
    def device(self, open_page, student) -> Page:
        page = open_page(SMALL, keeps_pages=True)
        open_as(page, student, "/today/")
        page.context.grant_permissions(["notifications"])
        page.evaluate("navigator.serviceWorker.ready")
        return page

    @staticmethod
    def push(page: Page, message: dict) -> None:
        tools = page.context.new_cdp_session(page)
        registrations: list[dict] = []
        tools.on(
            "ServiceWorker.workerRegistrationUpdated",
            lambda found: registrations.extend(found["registrations"]),
        )
        tools.send("ServiceWorker.enable")
        page.wait_for_timeout(300)
        address = urlsplit(page.url)
        tools.send(
            "ServiceWorker.deliverPushMessage",
            {
                "origin": f"{address.scheme}://{address.netloc}",
                "registrationId": registrations[-1]["registrationId"],
                "data": json.dumps(message),
            },
        )

    SHOWN = """async () => {
        const worker = await navigator.serviceWorker.ready;
        for (let tries = 0; tries < 100; tries++) {
          const [shown] = await worker.getNotifications();
          if (shown) return { title: shown.title, body: shown.body, data: shown.data };
          await new Promise((then) => setTimeout(then, 100));
        }
        return null;
    }"""

    def test_is_shown_with_its_words(self, device):
        self.push(device, self.MESSAGE)
        assert device.evaluate(self.SHOWN) == {
            "title": "Fillwright",
            "body": "Five minutes at the kit?",
            "data": {"open": "/today/"},
        }

    def test_takes_the_place_of_one_that_nobody_looked_at(self, device):
        self.push(device, self.MESSAGE)
        device.evaluate(self.SHOWN)
        self.push(device, self.MESSAGE | {"body": "Later"})
        device.wait_for_timeout(500)
        shown = (
            "navigator.serviceWorker.ready.then(async (w) => (await w.getNotifications()).length)"
        )
        assert device.evaluate(shown) == 1
