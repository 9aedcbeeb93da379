"""Where a worker engraves, notation comes later than its page, each into its own place."""

import pytest
from playwright.sync_api import Page, expect

from tests.assignments.making import give, make_bar, make_rule_set
from tests.browser.signing_in import open_as
from tests.browser.test_assigning_by_clicks import button, choose_all

pytestmark = pytest.mark.django_db(transaction=True)


def comes_later(page: Page, inside: str, number: int, engraver) -> None:
    """So many engravings are waited for, then are there, and all else is as it was."""
    expect(page.locator(f"{inside} .notation-missing")).to_have_count(number)
    before = page.locator(inside).get_by_role("button").all_inner_texts()
    engraver.work()
    expect(page.locator(f"{inside} .notation svg").first).to_be_visible()
    expect(page.locator(f"{inside} .notation-missing")).to_have_count(0)
    expect(page.locator(f"{inside} figure.notation")).to_have_count(number)
    assert page.locator(inside).get_by_role("button").all_inner_texts() == before


def test_drawn_fills(desktop, student, classmate, teacher, engraver):
    make_bar(student.studio)
    make_rule_set(student.studio)
    page = open_as(desktop, teacher, "/assign/")
    choose_all(page)
    expect(button(page)).to_have_text("Assign 3 fills to Mira")
    comes_later(page, "#drawn", 3, engraver)
    expect(button(page)).to_have_text("Assign 3 fills to Mira")


def test_a_students_fills(desktop, student, teacher, engraver):
    give(student, 3)
    page = open_as(desktop, teacher, f"/students/{student.pk}/")
    comes_later(page, ".variations", 3, engraver)
