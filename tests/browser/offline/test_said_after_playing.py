"""What is said after playing can be corrected on the spot, and a note goes to the teacher."""

import re

import pytest
from playwright.sync_api import Page, expect

from assignments.models import AssignedVariation, PracticeEntry
from tests.assignments.making import first_fill, give_short
from tests.browser.offline.student_steps import set_network, wait_until_sent
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)
UPRIGHT, ON_ITS_SIDE = {"width": 360, "height": 780}, {"width": 780, "height": 360}
NOTE = "The last beat rushes."


@pytest.fixture
def fill(student) -> AssignedVariation:
    return first_fill(give_short(student))


@pytest.fixture
def page(open_page, student, fill) -> Page:
    return through(open_page(UPRIGHT), student, times=2)


def through(page: Page, student, times: int) -> Page:
    """So often through the fill, and playing still."""
    page.set_default_timeout(20_000)
    open_as(page, student, "/today/?minutes=1")
    page.locator("[data-stage-open]").click()
    page.keyboard.press("ArrowDown")
    expect(page.locator("[data-stage-title]")).to_contain_text("New today", timeout=30_000)
    expect(page.locator("[data-stage-times]")).to_have_text(
        re.compile(rf"^{times + 1}/"), timeout=30_000
    )
    return page


def clean(page: Page):
    return page.get_by_role("spinbutton", name="Clean, of 2")


def note(page: Page):
    return page.get_by_label("A note to your teacher")


def unfold(page: Page, answer: str) -> None:
    page.keyboard.press("Escape")
    page.get_by_role("button", name=answer).click()
    page.get_by_role("button", name="Change").click()


def kept(page: Page) -> PracticeEntry:
    """The entry of the fill, once all of it has arrived."""
    wait_until_sent(page)
    return PracticeEntry.objects.exclude(variation=None).get()


def test_how_many_came_out_clean_is_corrected_and_a_note_goes_along(page, fill):
    unfold(page, "All clean")
    line = page.locator("[data-stage-lines] li")
    expect(line).to_contain_text(f"{fill} 2 times through at 168")
    expect(clean(page)).to_have_value("2")
    page.get_by_role("button", name="One less clean").click()
    note(page).fill(NOTE)
    assert_accessible(page)
    page.get_by_role("button", name="Save").click()
    expect(page.locator("[data-stage-answered]")).to_have_text("Changed. Saved.")
    expect(page.get_by_role("button", name="Some clean")).to_have_attribute("aria-pressed", "true")
    expect(page.get_by_role("button", name="Change")).to_be_focused()
    entry = kept(page)
    assert (entry.loops, entry.clean_loops, entry.note) == (2, 1, NOTE)


def test_a_wrong_number_is_told_beside_it_and_nothing_typed_is_lost(page):
    unfold(page, "All clean")
    clean(page).fill("9")
    note(page).fill(NOTE)
    page.get_by_role("button", name="Save").click()
    expect(clean(page)).to_be_focused()
    expect(clean(page)).to_have_accessible_description(
        "Give a whole number from 0 to 2, or leave it empty."
    )
    assert_accessible(page)
    assert (clean(page).input_value(), note(page).input_value()) == ("9", NOTE)
    assert kept(page).clean_loops == 2


@pytest.mark.usefixtures("meant_to_fail")
def test_without_a_network_what_was_typed_is_kept_by_leaving_and_sent_later(page, student):
    set_network(page, False)
    unfold(page, "Not yet")
    expect(clean(page)).to_have_value("0")
    page.get_by_role("button", name="One more clean").click()
    note(page).fill(NOTE)
    page.get_by_role("button", name="End").click()
    expect(page.locator("[data-stage]")).to_be_hidden()
    set_network(page, True)
    entry = kept(page)
    assert (entry.loops, entry.clean_loops, entry.note) == (2, 1, NOTE)


def test_figures_typed_into_a_field_are_no_answers_and_enter_saves(page):
    unfold(page, "All clean")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    expect(clean(page)).to_be_focused()
    page.keyboard.press("Control+A")
    page.keyboard.type("1")
    expect(page.get_by_role("button", name="All clean")).to_have_attribute("aria-pressed", "true")
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Some clean")).to_have_attribute("aria-pressed", "true")
    assert kept(page).clean_loops == 1


def test_what_was_played_once_is_not_said_to_be_clean_in_part(open_page, student, fill):
    page = through(open_page(UPRIGHT), student, times=1)
    page.keyboard.press("Escape")
    expect(page.get_by_role("button", name="All clean")).to_be_visible()
    expect(page.get_by_role("button", name="Some clean")).to_be_hidden()
    page.keyboard.press("2")
    page.keyboard.press("3")
    expect(page.locator("[data-stage-answered]")).to_have_text("Not yet. Saved.")


@pytest.mark.parametrize("size", [UPRIGHT, ON_ITS_SIDE], ids=["upright", "on its side"])
def test_the_answers_stay_seen_however_far_the_panel_is_scrolled(open_page, student, fill, size):
    page = through(open_page(size), student, times=2)
    unfold(page, "Some clean")
    note(page).focus()
    for answer in ("All clean", "Some clean", "Not yet"):
        box = page.get_by_role("button", name=answer).bounding_box()
        assert box
        assert 0 <= box["y"] <= size["height"] - box["height"]
        assert 0 <= box["x"] <= size["width"] - box["width"]
    field = note(page).bounding_box()
    assert field
    assert box["y"] + box["height"] <= field["y"] <= size["height"] - field["height"]
