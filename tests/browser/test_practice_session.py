"""The day's plan, played by itself: nothing is touched between its items.

Sound runs on the device's own clock, so these tests take as long as the music does; blocks are
as short and as fast as they can be.
"""

import re

import pytest
from playwright.sync_api import Page, expect

from assignments.days import DAY, today_in
from assignments.models import AssignedVariation, PracticeEntry
from tests.assignments.making import first_fill, give, logged, make_bar
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def fill(student, studio):
    """A block of four short bars: about three seconds."""
    bar = make_bar(studio, "1 & 2 e & a", name="Short", meter="2/4")
    fill = first_fill(give(student, 1, bar=bar, tempo=240))
    AssignedVariation.objects.update(top_tempo=None)
    return fill


@pytest.fixture
def signed_in(phone, student, live_server) -> Page:
    phone.set_default_timeout(20_000)
    return open_as(phone, student, "/today/")


def state(page: Page, name: str, patience: int = 30_000) -> None:
    pattern = re.compile(name)
    expect(page.locator("[data-run]")).to_have_attribute("data-state", pattern, timeout=patience)


def test_it_goes_from_item_to_item_by_itself_and_asks_at_the_end_what_was_clean(
    signed_in, student, fill
):
    page = signed_in
    page.goto("/today/play/?minutes=1")
    expect(page.locator("[data-run-title]")).to_have_text("Loosen up")
    page.locator("[data-run-play]").click()
    state(page, "between")  # the groove was through
    expect(page.locator("[data-run-title]")).to_contain_text("New today")
    assert_accessible(page)
    state(page, "playing")  # nobody touched anything
    expect(page.locator("[data-run-loop]")).to_have_text(re.compile(r"^3/"), timeout=30_000)
    page.get_by_role("button", name="Pause").click()
    state(page, "paused")
    page.get_by_role("button", name="Finish").click()
    expect(page.get_by_role("heading", name="That was it")).to_be_focused()
    assert_accessible(page)
    clean = page.get_by_label(re.compile("^Clean, of Short"))
    clean.fill("9")
    page.get_by_role("button", name="Save it").click()
    expect(page.get_by_role("alert")).to_contain_text("a whole number from 0 to 2")
    page.get_by_role("button", name="All").click()
    page.get_by_role("radio", name="Good").check()
    page.get_by_label("Note to your teacher").fill("Even at last")
    page.get_by_role("button", name="Save it").click()
    expect(page.locator("[data-run-saved]")).to_be_visible()
    page.goto("/log/")
    expect(page.locator(".log li")).to_have_count(2)
    groove, played = PracticeEntry.objects.filter(student=student).order_by("created_at")
    assert (groove.variation, groove.loops) == (None, 4)
    assert (played.variation, played.loops, played.clean_loops) == (fill, 2, 2)
    assert (played.felt, played.note, played.tempo) == ("good", "Even at last", 168)


def test_a_mastered_fill_played_cold_and_clean_holds(signed_in, student, fill):
    today = today_in(student.studio)
    logged(student, 1, today - 2 * DAY, fill, loops=4, clean_loops=4, tempo=240)
    fill.record_step("mastered", today - 2 * DAY)
    page = signed_in
    page.goto("/today/play/?minutes=1")
    expect(page.locator("[data-run-title]")).to_have_text("Does it hold? Played cold")
    page.keyboard.press("Space")
    expect(page.locator("[data-run-loop]")).to_have_text(re.compile(r"^5/"), timeout=30_000)
    page.keyboard.press("Space")
    page.get_by_role("button", name="Finish").click()
    page.get_by_role("button", name="All").click()
    page.get_by_role("button", name="Save it").click()
    expect(page.locator("[data-run-verdicts]")).to_contain_text("holds.")
    page.goto("/my-progress/")
    expect(page.get_by_role("heading", name="What holds 1")).to_be_visible()
    assert_accessible(page)


def test_it_is_played_without_a_touch_by_the_keyboard_alone(signed_in, fill):
    page = signed_in
    page.goto("/today/play/?minutes=1")
    page.keyboard.press("Space")
    state(page, "playing")
    page.keyboard.press("Space")
    state(page, "paused")
    page.keyboard.press("Space")
    state(page, "playing")
    page.keyboard.press("ArrowRight")
    state(page, "between")
