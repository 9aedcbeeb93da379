"""The day's plan, played by itself: nothing is touched between its items.

Sound runs on the device's own clock, so these tests take as long as the music does; blocks are
as short and as fast as they can be.
"""

import re

import pytest
from django.db.models import Q
from playwright.sync_api import Page, expect

from assignments.days import DAY, today_in
from assignments.models import PracticeEntry
from tests.assignments.making import first_fill, give_short, logged
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def fill(student):
    return first_fill(give_short(student))


@pytest.fixture
def signed_in(phone, student, live_server) -> Page:
    phone.set_default_timeout(20_000)
    return open_as(phone, student, "/today/")


def state(page: Page, name: str, patience: int = 30_000) -> None:
    pattern = re.compile(name)
    expect(page.locator("[data-stage]")).to_have_attribute("data-state", pattern, timeout=patience)


def kept_by_the_server(page: Page, asked: Q, number: int = 1) -> list[PracticeEntry]:
    """What has arrived by itself, in order, once there are so many."""
    for _ in range(200):
        found = list(PracticeEntry.objects.filter(asked).order_by("created_at"))
        if len(found) == number:
            return found
        page.wait_for_timeout(100)
    raise AssertionError(f"{len(found)} entries, not {number}")


def start(page: Page) -> None:
    page.goto("/today/?minutes=1")
    page.locator("[data-stage-open]").click()


def test_it_goes_from_item_to_item_by_itself_and_one_touch_saves_how_it_came_out(
    signed_in, student, fill
):
    page = signed_in
    start(page)
    expect(page.locator("[data-stage-title]")).to_have_text("Loosen up")
    state(page, "between")  # the groove was through
    expect(page.locator("[data-stage-title]")).to_contain_text("New today")
    assert_accessible(page)
    state(page, "playing")  # nobody touched anything
    expect(page.locator("[data-stage-times]")).to_have_text(re.compile(r"^3/"), timeout=30_000)
    page.get_by_role("button", name="End").click()
    total = page.locator("[data-stage-total]")
    expect(total).to_be_focused()
    expect(total).to_have_text(re.compile(r"\. Saved\. How did it come out\?"))
    assert_accessible(page)
    page.get_by_role("button", name="All clean").click()
    expect(page.locator("[data-stage-answered]")).to_have_text("All clean. Saved.")
    kept_by_the_server(page, Q(clean_loops=2))
    groove, played = PracticeEntry.objects.filter(student=student).order_by("created_at")
    assert (groove.variation, groove.loops) == (None, 4)
    assert (played.variation, played.loops, played.clean_loops) == (fill, 2, 2)
    assert played.tempo == 168
    page.locator("[data-stage-today]").click()
    expect(page.locator("[data-stage]")).to_be_hidden()


def test_a_mastered_fill_played_cold_and_clean_holds(signed_in, student, fill):
    today = today_in(student.studio)
    logged(student, 1, today - 2 * DAY, fill, loops=4, clean_loops=4, tempo=240)
    fill.record_step("mastered", today - 2 * DAY)
    page = signed_in
    start(page)
    expect(page.locator("[data-stage-title]")).to_have_text("Does it hold? Played cold")
    expect(page.locator("[data-stage-times]")).to_have_text(re.compile(r"^5/"), timeout=30_000)
    page.keyboard.press("Escape")
    page.keyboard.press("1")
    expect(page.locator("[data-stage-verdicts]")).to_contain_text("holds.")
    expect(page.locator("[data-stage-answered]")).to_have_text("All clean. Saved.")
    kept_by_the_server(page, Q(recheck=True, clean_loops__gt=0))
    fill.refresh_from_db()
    assert fill.held_at


def test_what_hurt_is_told_and_noted(signed_in, student, fill):
    page = signed_in
    start(page)
    expect(page.locator("[data-stage-times]")).to_have_text(re.compile(r"^2/"), timeout=30_000)
    page.keyboard.press("Escape")
    page.get_by_role("button", name="It hurt").click()
    expect(page.get_by_text("Stop here. Tell")).to_be_visible()
    expect(page.locator("[data-stage-answered]")).to_have_text("Noted.")
    assert kept_by_the_server(page, Q(felt="sore"))[0].student == student


def test_a_try_is_not_saved_and_says_so_with_both_ways_on(signed_in, student, fill):
    page = signed_in
    start(page)
    expect(page.locator("[data-stage-bar]")).to_have_text("in")
    page.keyboard.press("Escape")
    expect(page.locator("[data-stage-total]")).to_have_text(re.compile(r"^Not saved: \d seconds?$"))
    expect(page.get_by_role("button", name="Go on")).to_be_visible()
    expect(page.locator("[data-stage-today]")).to_be_visible()
    assert not PracticeEntry.objects.filter(student=student).exists()
    page.get_by_role("button", name="Go on").click()
    state(page, "playing")


def test_it_is_played_by_the_keyboard_alone(signed_in, fill):
    page = signed_in
    page.goto("/today/?minutes=1")
    page.locator("[data-stage-open]").focus()
    page.keyboard.press("Enter")
    state(page, "playing")
    page.keyboard.press("Space")
    state(page, "paused")
    page.keyboard.press("PageDown")
    state(page, "playing")
    before = int(page.locator("[data-stage-tempo]").inner_text())
    page.keyboard.press("ArrowRight")
    expect(page.locator("[data-stage-tempo]")).to_have_text(str(before + 2))
    page.keyboard.press("ArrowDown")
    state(page, "between")
    page.keyboard.press("ArrowUp")
    expect(page.locator("[data-stage-title]")).to_contain_text("Loosen up")
    for _ in range(12):
        page.keyboard.press("Tab")
        assert page.evaluate(
            "document.activeElement === document.body"
            " || Boolean(document.activeElement.closest('[data-stage]'))"
        )
    page.keyboard.press("Escape")
    page.keyboard.press("Escape")
    expect(page.locator("[data-stage]")).to_be_hidden()
    expect(page.locator("[data-stage-open]")).to_be_focused()


def test_the_way_back_of_the_phone_closes_the_stage_and_not_the_page(signed_in, fill):
    page = signed_in
    start(page)
    state(page, "playing")
    page.go_back()
    expect(page.locator("[data-stage]")).to_be_hidden()
    assert page.url.endswith("/today/?minutes=1")
    state(page, "over")  # and nothing sounds on


def test_the_address_of_the_former_page_opens_the_stage_ready(signed_in, fill):
    page = signed_in
    page.goto("/today/play/?minutes=1")
    state(page, "ready")
    expect(page.locator("[data-stage-trouble]")).to_have_text("Touch to let this page sound.")
    page.get_by_role("button", name="Play", exact=True).click()
    state(page, "playing")
