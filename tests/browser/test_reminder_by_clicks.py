"""A reminder as a student asks for it, and as it comes to a device."""

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


def allow(page: Page, setting: str) -> None:
    """As in the browser's own settings of the site."""
    tools = page.context.new_cdp_session(page)
    permission = {"permission": {"name": "notifications"}, "setting": setting}
    tools.send("Browser.setPermission", permission)


def test_a_browser_that_was_told_no_says_what_to_do(phone, student):
    page = open_as(phone, student, PAGE)
    allow(page, "denied")
    page.reload()
    ask(page)
    trouble = page.get_by_role("alert")
    expect(trouble).to_contain_text("Allow notifications in its settings of the site")
    expect(trouble).to_contain_text("take the file for your calendar")
    assert not Reminder.objects.exists()
    assert_accessible(page)


def test_where_no_push_service_is_reached_it_says_so(phone, student):
    """It may show messages; but this browser, made for tests, has no service that brings any."""
    page = open_as(phone, student, PAGE)
    page.context.grant_permissions(["notifications"])
    page.reload()
    page.get_by_label("Monday").uncheck()
    ask(page)
    words = "could not reach its service for reminders"
    expect(page.get_by_role("alert")).to_contain_text(words, timeout=40_000)
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
