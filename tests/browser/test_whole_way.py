"""The whole job, once, with real clicks: from an empty site to practice that the teacher sees."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.fill_steps import open_form
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import sign_up

pytestmark = pytest.mark.django_db(transaction=True)

COUNTS = "1 & 2 e & a 3 & 4 e & a"


def go(page: Page, label: str) -> None:
    """Follow a link of the navigation and look at the page it leads to."""
    page.get_by_role("navigation", name="Pages").get_by_role("link", name=label).click()
    assert_accessible(page)


def says(page: Page, text: str) -> None:
    expect(page.locator("#messages")).to_contain_text(text)


def open_a_studio(page: Page) -> None:
    sign_up(page)
    says(page, "Your studio is open")
    go(page, "Roster")
    expect(page.get_by_role("main")).to_contain_text("Here you see each student at a glance")


def type_a_bar(page: Page) -> None:
    go(page, "Bars")
    page.get_by_role("link", name="New bar").click()
    assert_accessible(page)
    page.get_by_label("Count line").fill(COUNTS)
    expect(page.locator("#engraving svg").first).to_be_visible()
    page.get_by_label("Name").fill("Line 4 of the green book")
    assert_accessible(page)
    page.get_by_role("button", name="Save bar").click()
    says(page, "is saved")
    assert_accessible(page)


def make_a_rule_set(page: Page) -> None:
    go(page, "Rule sets")
    page.get_by_role("link", name="New rule set").click()
    assert_accessible(page)
    page.get_by_label("Name").fill("Eighths stay home")
    page.get_by_role("checkbox", name="Eighth", exact=True).check()
    page.get_by_role("checkbox", name="Snare", exact=True).check()
    expect(page.get_by_role("main")).to_contain_text("16,777,216")
    assert_accessible(page)
    page.get_by_role("button", name="Save rule set").click()
    says(page, "is saved")
    assert_accessible(page)


def add_a_student(page: Page) -> str:
    """Add Mira and return the address of her personal link."""
    go(page, "Roster")
    page.get_by_role("link", name="Add your first student").click()
    assert_accessible(page)
    page.get_by_label("Nickname").fill("Mira")
    page.get_by_role("button", name="Add student").click()
    says(page, "Mira is added")
    page.get_by_role("button", name="Make a link").click()
    assert_accessible(page)
    return page.locator("#link-address").inner_text()


def assign_three_fills(page: Page) -> None:
    go(page, "Roster")
    page.get_by_role("link", name="Assign the first fills").click()
    page.get_by_label("Bar", exact=True).select_option("Line 4 of the green book")
    expect(page.locator("#bar-live svg")).to_be_visible()
    page.get_by_label("Rule set").select_option("Eighths stay home")
    expect(page.locator("#rules-live")).to_contain_text("32 years")
    expect(page.locator("#drawn .fill-card svg")).to_have_count(3)
    expect(page.get_by_role("checkbox", name="Mira", exact=True)).to_be_checked()
    page.get_by_label("Tempo").fill("88")
    assert_accessible(page)
    page.get_by_role("button", name="Assign 3 fills to Mira").click()
    says(page, "Assigned 3 fills to Mira.")
    expect(page.get_by_role("heading", name=re.compile("new 3"))).to_be_visible()
    assert_accessible(page)


def practise(page: Page, link: str) -> None:
    page.goto(link)
    assert_accessible(page)
    page.get_by_role("button", name="Go to my practice").click()
    expect(page.get_by_role("heading", name="Today")).to_be_visible()
    expect(page.locator("main .fill-line")).to_have_count(1)
    assert_accessible(page)
    expect(page.get_by_role("button", name="Start")).to_be_visible()
    page.locator("main .fill-name").first.click()
    expect(page.locator(".wide-notation svg").first).to_be_visible()
    expect(page.get_by_role("main")).to_contain_text("3 bars of groove, then this fill.")
    assert_accessible(page)
    open_form(page)
    page.get_by_role("button", name="5 min").click()
    page.get_by_role("button", name="Save").click()
    says(page, "Saved: 5 min at 88.")
    assert_accessible(page)
    page.get_by_role("link", name="Next fill").click()
    page.get_by_role("button", name="Mastered").click()
    says(page, "Mastered: 2, ")
    assert_accessible(page)
    go(page, "Today")
    expect(page.get_by_role("main")).to_contain_text("5 min done")
    expect(page.locator("main .fill-line")).to_have_count(1)
    go(page, "My fills")
    page.get_by_text("Saved practice").click()
    page.get_by_role("link", name="My log").click()
    expect(page.locator(".log li")).to_have_count(1)
    assert_accessible(page)


def see_it(page: Page) -> None:
    go(page, "Roster")
    row = page.get_by_role("row").filter(has_text="Mira")
    expect(row).to_contain_text("5 min")
    expect(row).to_contain_text("1 of 3")
    page.get_by_role("link", name="Mira").click()
    main = page.get_by_role("main")
    expect(main).to_contain_text("Practised on 1 day, 5 min in all.")
    expect(main).to_contain_text("Mastered 2, ")
    for state in ("new", "practising", "mastered"):
        expect(page.get_by_role("heading", name=f"{state} 1")).to_be_visible()
    assert_accessible(page)
    go(page, "Progress")
    expect(page.get_by_role("main")).to_contain_text("5 min of practice")
    page.get_by_role("link", name="Mira").click()
    expect(page.get_by_role("heading", name="Progress of Mira")).to_be_visible()
    assert_accessible(page)


def test_from_an_empty_site_to_practice_that_the_teacher_sees(screen, open_page):
    open_a_studio(screen)
    type_a_bar(screen)
    make_a_rule_set(screen)
    link = add_a_student(screen)
    assign_three_fills(screen)
    practise(open_page(screen.viewport_size), link)
    see_it(screen)
