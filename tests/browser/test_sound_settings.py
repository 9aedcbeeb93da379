"""How it sounds is set on a fill's page, kept on the device, and holds in the stage as well."""

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from tests.assignments.making import first_fill, give
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)

KEPT = "() => JSON.parse(localStorage.getItem('fillwright-sound') ?? '{}')"


@pytest.fixture
def fill_page(screen, student) -> Page:
    fill = first_fill(give(student, 1, tempo=120))
    page = open_as(screen, student, reverse("assignments:fill", args=[fill.pk]))
    page.get_by_text("Sound", exact=True).click()
    return page


def test_what_is_set_is_there_again_on_the_next_visit(fill_page):
    fill_page.get_by_label("Volume").fill("4")
    fill_page.get_by_label("Heard on").select_option("phone speaker")
    fill_page.get_by_label("A voice counts in").check()
    assert fill_page.evaluate(KEPT) == {"volume": 4, "output": "phone", "voice": True}
    fill_page.reload()
    fill_page.get_by_text("Sound", exact=True).click()
    expect(fill_page.get_by_label("Volume")).to_have_value("4")
    expect(fill_page.get_by_label("Heard on")).to_have_value("phone")
    expect(fill_page.get_by_label("A voice counts in")).to_be_checked()
    assert_accessible(fill_page)


def test_damaged_settings_are_as_good_as_none(fill_page):
    fill_page.evaluate("() => localStorage.setItem('fillwright-sound', '{damaged')")
    fill_page.reload()
    fill_page.get_by_text("Sound", exact=True).click()
    expect(fill_page.get_by_label("Volume")).to_have_value("10")
    fill_page.get_by_label("Click silent").select_option("every other bar")
    assert fill_page.evaluate(KEPT) == {"gaps": "every other bar"}


def test_a_level_is_changed_with_the_keyboard(fill_page):
    fill_page.get_by_label("Groove", exact=True).last.focus()
    fill_page.keyboard.press("ArrowLeft")
    assert fill_page.evaluate(KEPT) == {"grooveLevel": 6}


def test_every_control_of_it_is_high_enough_for_a_thumb(fill_page):
    heights = fill_page.locator(
        ".sound summary, .sound select, .sound input[type=range], .sound label:has(input)"
    ).evaluate_all("(all) => all.map((one) => one.getBoundingClientRect().height)")
    assert len(heights) == 1 + 3 + 6 + 3
    assert min(heights) >= 48


def test_the_stage_fetches_words_and_tones_where_they_are_wanted(fill_page):
    fill_page.get_by_label("A voice counts in").check()
    fill_page.get_by_label("Bass and chords").last.check()
    asked = []
    fill_page.on("request", lambda request: asked.append(request.url))
    fill_page.get_by_role("button", name="Play", exact=True).first.click()
    expect(fill_page.locator("[data-stage]")).to_be_visible()
    expect(fill_page.locator("[data-stage-beat]")).to_have_text("1")
    for sound in ("say-four-normal", "bass-37", "keys-62"):
        assert any(f"/{sound}.mp3" in url for url in asked), sound
