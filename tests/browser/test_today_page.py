"""Today, beside the kit: Start within reach, and no day mistaken for another."""

import pytest
from playwright.sync_api import Page, expect

from assignments.days import DAY
from tests.assignments.making import give, logged
from tests.browser.page_checks import DESKTOP, PHONE, assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)
SMALL = {"width": 320, "height": 568}
SIZES = [SMALL, {"width": 360, "height": 780}, PHONE, {"width": 844, "height": 390}, DESKTOP]


def open_today(page: Page, student) -> Page:
    """Without a worker, what the page shows is engraved as it is first asked for."""
    page.set_default_timeout(30_000)
    return open_as(page, student, "/today/")


def start(page: Page):
    return page.locator(".main-bar .button")


@pytest.fixture
def played(student, day):
    """Six fills, of which three were played on days before."""
    fills = list(give(student, 6, note="The left hand leads").variations.all())
    for ago, fill in enumerate(fills[:3], 1):
        logged(student, 2, day - ago * DAY, fill, tempo=70)
    return fills


@pytest.mark.parametrize("size", SIZES, ids=[f"{one['width']}x{one['height']}" for one in SIZES])
def test_start_is_in_the_first_screenful(open_page, student, played, size):
    page = open_today(open_page(size), student)
    box = start(page).bounding_box()
    assert box["y"] + box["height"] <= size["height"]
    assert box["height"] >= 56
    assert_accessible(page)


@pytest.mark.parametrize("fills", [1, 6])
def test_start_stands_at_one_place_on_a_phone_however_many_fills(open_page, student, fills):
    give(student, fills)
    page = open_today(open_page(PHONE), student)
    assert 711 <= start(page).bounding_box()["y"] <= 803


def test_everything_is_reached_by_the_keyboard_and_nothing_under_the_bar(phone, student, played):
    page = open_today(phone, student)
    page.locator("main").focus()
    reached = set()
    for _ in range(40):
        page.keyboard.press("Tab")
        covered, text = page.evaluate(
            """() => {
              const box = document.activeElement.getBoundingClientRect();
              const bar = document.querySelector(".main-bar");
              const inBar = bar.contains(document.activeElement);
              const { top, bottom } = bar.getBoundingClientRect();
              const isUnder = !inBar && box.top >= top && box.top < bottom;
              return [isUnder, document.activeElement.textContent.trim()];
            }"""
        )
        assert not covered, text
        reached.add(text)
    assert "Start" in reached
    assert "More or less time" in reached


@pytest.fixture
def another_day(monkeypatch):
    """The page as it was kept: made on the day before the device looks at it."""

    def kept(page: Page) -> None:
        page.clock.set_fixed_time(page.evaluate("Date.now()") + 24 * 3_600_000)
        page.reload()

    return kept


def test_a_page_of_yesterday_does_not_say_that_today_is_done(
    phone, student, played, day, another_day
):
    for fill in played:
        logged(student, 5, day, fill)
    page = open_today(phone, student)
    expect(page.get_by_text("done", exact=False).first).to_be_visible()
    another_day(page)
    expect(start(page)).to_have_text("Start", use_inner_text=True)
    expect(page.locator(".today-done")).to_be_hidden()
    for word in page.get_by_text("played today").all():
        expect(word).to_be_hidden()


def test_without_fills_a_groove_plays_until_it_is_stopped(phone, student):
    page = open_today(phone, student)
    assert_accessible(page)
    page.get_by_role("button", name="Start with a groove").click()
    expect(page.get_by_role("button", name="Stop")).to_be_visible()
    page.get_by_role("button", name="Stop").click()
    expect(page.get_by_role("button", name="Start with a groove")).to_be_visible()


def test_a_fill_is_heard_without_leaving_the_page(phone, student, played):
    page = open_today(phone, student)
    page.get_by_role("button", name="Hear").first.click()
    expect(page.get_by_role("button", name="Stop").first).to_be_visible()
    assert page.url.endswith("/today/")
