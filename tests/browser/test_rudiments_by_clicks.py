"""A teacher hears a rudiment, lays it over the 16ths, and takes one as a bar."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def rudiments(screen, teacher) -> Page:
    page = open_as(screen, teacher, "/rule-sets/rudiments/")
    expect(page.locator(".bars .notation")).to_have_count(40)
    return page


def test_a_rudiment_is_heard_and_stopped_by_a_second_touch(rudiments):
    rudiments.get_by_role("button", name="Hear Multiple Bounce Roll").click()
    rudiments.get_by_role("button", name="Stop Multiple Bounce Roll").click()
    expect(rudiments.get_by_role("button", name="Hear Multiple Bounce Roll")).to_be_visible()
    assert_accessible(rudiments)


def test_an_engraving_comes_when_it_is_scrolled_to(rudiments):
    last = rudiments.locator("#rudiment-40 img")
    last.scroll_into_view_if_needed()
    expect(last).to_have_js_property("complete", True)
    assert last.evaluate("picture => picture.naturalWidth") > 0


def test_two_touches_lay_a_rudiment_over_the_16ths(rudiments):
    laid = "Lay this over your 16ths Flam Paradiddle"
    rudiments.get_by_role("link", name=laid, exact=True).click()
    rudiments.get_by_role("button", name="Save rule set").click()
    expect(rudiments.locator(".sentences")).to_contain_text("A flam paradiddle on the 16ths")
    expect(rudiments.locator(".examples desc").first).to_contain_text("flam")


def test_one_touch_makes_a_bar_of_it(rudiments, studio):
    rudiments.get_by_role("button", name="Use as a bar Flamacue").click()
    expect(rudiments.locator("h1")).to_have_text("Flamacue")
    expect(rudiments.locator("#messages")).to_contain_text("is among your bars now")
    assert studio.bars.get(name="Flamacue").counts == "1 e> & a 2 3 e> & a 4"


def test_the_other_hand_leads_at_a_touch(rudiments):
    rudiments.get_by_role("link", name="Left hand first").click()
    first = rudiments.locator("#rudiment-16 .notation")
    expect(first.get_by_role("img", name="1 snare (L, accent)")).to_be_visible()
