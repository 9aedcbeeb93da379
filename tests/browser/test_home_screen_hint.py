"""One hint that Today can be put on the home screen: where it can, and once."""

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from studio.models import SignInLink
from tests.browser.page_checks import PHONE, assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)
#: What a browser of an iPhone has and others have not: whether it was opened from there.
IPHONE = "Object.defineProperty(Navigator.prototype, 'standalone', { get: () => %s })"
OFFERED = """() => {
    window.prompted = 0;
    const event = new Event("beforeinstallprompt", { cancelable: true });
    event.prompt = async () => { window.prompted += 1; };
    dispatchEvent(event);
}"""


def hint(page: Page):
    return page.get_by_role("complementary", name="Home screen")


@pytest.fixture
def iphone(open_page) -> Page:
    page = open_page(PHONE)
    page.add_init_script(IPHONE % "false")
    return page


def test_where_nothing_is_offered_nothing_is_said(phone, student, variation):
    page = open_as(phone, student, "/today/")
    page.wait_for_load_state()
    expect(hint(page)).to_be_hidden()


def test_an_iphone_says_how_it_is_done_and_that_one_signs_in_there(iphone, student, variation):
    page = open_as(iphone, student, "/today/")
    expect(hint(page)).to_contain_text("touch Share and Add to Home Screen")
    expect(hint(page)).to_contain_text("The app there is signed in separately")
    expect(page.get_by_role("button", name="Put it on the home screen")).to_be_hidden()
    assert_accessible(page)


def test_put_away_once_it_never_comes_again(iphone, student, variation):
    page = open_as(iphone, student, "/today/")
    page.get_by_role("button", name="No, thanks").click()
    expect(hint(page)).to_be_hidden()
    page.reload()
    page.wait_for_load_state()
    expect(hint(page)).to_be_hidden()


def test_opened_from_there_it_is_not_said(open_page, student, variation):
    page = open_page(PHONE)
    page.add_init_script(IPHONE % "true")
    open_as(page, student, "/today/")
    page.wait_for_load_state()
    expect(hint(page)).to_be_hidden()


def test_where_the_browser_offers_it_one_touch_does_it(phone, student, variation):
    page = open_as(phone, student, "/today/")
    page.wait_for_load_state()
    page.evaluate(OFFERED)
    assert_accessible(page)
    page.get_by_role("button", name="Put it on the home screen").click()
    expect(hint(page)).to_be_hidden()
    assert page.evaluate("window.prompted") == 1
    page.reload()
    page.wait_for_load_state()
    page.evaluate(OFFERED)
    expect(hint(page)).to_be_hidden()


def test_the_app_there_is_signed_in_by_a_pasted_link(phone, student, variation):
    link = f"https://studio.example.org{reverse('studio:enter', args=[SignInLink.issue(student)])}"
    phone.goto("/today/")
    phone.get_by_role("link", name="paste it here").click()
    assert_accessible(phone)
    phone.get_by_label("Sign-in link").fill(link)
    phone.get_by_role("button", name="Open it").click()
    phone.get_by_role("button", name="Go to my practice").click()
    expect(phone.get_by_role("heading", name="Today")).to_be_visible()
