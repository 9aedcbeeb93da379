"""A teacher hears a bar while typing it, and a drawn fill before it is assigned."""

import pytest
from playwright.sync_api import expect

from tests.assignments.making import give, make_bar, make_rule_set
from tests.browser.held_answers import HeldAnswers
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_bar_is_heard_while_it_is_typed_and_stopped_by_a_second_touch(screen, teacher):
    page = open_as(screen, teacher, "/bars/new/")
    page.get_by_label("Count line").fill("1 2 3 4")
    page.get_by_role("button", name="Hear this bar").click()
    expect(page.locator("#engraving g.stroke.lit")).to_have_count(1)
    assert_accessible(page)
    page.get_by_role("button", name="Stop this bar").click()
    expect(page.get_by_role("button", name="Hear this bar")).to_be_visible()
    expect(page.locator("g.stroke.lit")).to_have_count(0)


def test_a_drawn_fill_is_heard_and_its_notes_alone_are_lit(desktop, teacher, student):
    make_bar(student.studio)
    make_rule_set(student.studio)
    page = open_as(desktop, teacher, "/assign/")
    page.get_by_label("Bar", exact=True).select_option("Line 4")
    page.get_by_label("Rule set").select_option("Eighths stay")
    page.get_by_role("checkbox", name="Mira").check()
    cards = page.locator("#drawn .fill-card")
    expect(cards).to_have_count(3)
    cards.nth(1).get_by_role("button", name="Hear").click()
    expect(cards.nth(1).locator("g.stroke.lit")).to_have_count(1)
    expect(cards.nth(0).locator("g.stroke.lit")).to_have_count(0)
    cards.nth(2).get_by_role("button", name="Hear").click()
    expect(cards.nth(2).locator("g.stroke.lit")).to_have_count(1)
    expect(cards.nth(1).get_by_role("button", name="Hear")).to_be_visible()
    expect(cards.nth(2).get_by_role("button", name="Hear")).to_be_visible()


def test_an_assigned_fill_is_heard_in_the_lesson(screen, teacher, student):
    give(student, 2)
    page = open_as(screen, teacher, f"/students/{student.pk}/")
    cards = page.locator(".fill-card")
    cards.nth(1).get_by_role("button", name="Hear").click()
    expect(cards.nth(1).locator("g.stroke.lit")).to_have_count(1)
    assert_accessible(page)


def test_hands_and_feet_of_a_stroke_are_lit_together(desktop, teacher, student):
    together = make_rule_set(
        student.studio,
        [
            {"rule": "both hands", "one": ["snare"], "other": ["floor tom"]},
            {"rule": "foot under", "surfaces": ["snare"]},
        ],
        name="All at once",
    )
    give(student, 1, rule_set=together)
    page = open_as(desktop, teacher, f"/students/{student.pk}/")
    card = page.locator(".fill-card").first
    card.get_by_role("button", name="Hear").click()
    expect(card.locator("g.stroke.lit")).to_have_count(2)
    hands, feet = (group.get_attribute("id") for group in card.locator("g.stroke.lit").all())
    assert feet == f"{hands}-feet"


def test_another_touch_ends_what_is_still_on_its_way(screen, teacher, student):
    give(student, 2)
    page = open_as(screen, teacher, f"/students/{student.pk}/")
    held = HeldAnswers(page, "**/heard.json")
    first, second = page.locator(".fill-card button.hear").all()
    first.click()
    expect(first).to_contain_text("Stop")
    held.wait_for_one()
    second.click()
    expect(first).to_contain_text("Hear")
    held.answer_all()
    expect(page.locator(".fill-card").nth(1).locator("g.stroke.lit")).to_have_count(1)
    expect(page.locator(".fill-card").nth(0).locator("g.stroke.lit")).to_have_count(0)


def test_a_fill_that_does_not_come_says_so_and_is_asked_for_again(
    screen, teacher, student, console_errors
):
    give(student, 1)
    page = open_as(screen, teacher, f"/students/{student.pk}/")
    page.route("**/heard.json", lambda route: route.abort())
    button = page.locator(".fill-card button.hear")
    button.click()
    expect(button).to_contain_text("No sounds came. Try again")
    console_errors.clear()
    page.unroute("**/heard.json")
    button.click()
    expect(page.locator(".fill-card g.stroke.lit")).to_have_count(1)
