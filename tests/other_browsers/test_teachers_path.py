"""What a teacher does in a lesson, in the engines of Safari and Firefox: real clicks and keys."""

import pytest

from tests.cast import PASSWORD
from tests.other_browsers.visitor import ENTER, Visitor

pytestmark = pytest.mark.django_db(transaction=True)
COUNTS = "1 & 2 e & a 3 & 4 e & a"
DRAWN = "(place, number) => document.querySelectorAll(`${place} svg`).length === number"
#: The notes that were lit since.
WATCH_NOTES = """() => {
    window.lit = new Set();
    new MutationObserver(() => {
        for (const note of document.querySelectorAll(".stroke.lit")) window.lit.add(note);
    }).observe(document.body, { subtree: true, attributeFilter: ["class"] });
}"""


def go(browser: Visitor, label: str) -> None:
    """Follow a link of the navigation."""
    browser.press("link", label)
    browser.wait_for("(label) => document.title.startsWith(label)", label)


def sign_in(browser: Visitor, email: str) -> None:
    browser.goto("/sign-in/")
    browser.fill("E-mail", email)
    browser.fill("Password", PASSWORD)
    browser.type(ENTER)
    browser.find("heading", "Roster")


def type_a_bar(browser: Visitor) -> None:
    go(browser, "Bars")
    browser.press("link", "New bar")
    browser.fill("Count line", "1 & 2 e & a 3 & 4 e & x")
    browser.sees("At column 23, “x”")
    browser.fill("Count line", COUNTS)
    browser.wait_for(DRAWN, "#engraving", 1)
    browser.fill("Name", "Line 4 of the green book")
    browser.press("button", "Save bar")
    browser.sees("is saved", "#messages")


def make_a_rule_set(browser: Visitor) -> None:
    go(browser, "Rule sets")
    browser.press("link", "New rule set")
    browser.fill("Name", "Eighths stay home")
    browser.tick("checkbox", "Eighth")
    browser.tick("checkbox", "Snare")
    browser.sees("16,777,216")
    browser.press("button", "Save rule set")
    browser.sees("is saved", "#messages")


def hear_the_first(browser: Visitor) -> None:
    browser.run(WATCH_NOTES)
    browser.press("button", "*Hear*")
    browser.wait_for("() => window.lit.size >= 12")


def assign(browser: Visitor) -> None:
    go(browser, "Assign")
    browser.choose("Bar", "Line 4 of the green book")
    browser.wait_for(DRAWN, "#bar-live", 1)
    browser.choose("Rule set", "Eighths stay home")
    browser.sees("16,777,216")
    browser.tick("checkbox", "Mira")
    browser.wait_for("() => document.querySelectorAll('#drawn .fill-card svg').length === 3")
    hear_the_first(browser)
    browser.fill("Tempo", "96")
    browser.press("button", "Assign 3 fills to Mira")
    browser.sees("Assigned 3 fills to Mira.", "#messages")


def see_the_student(browser: Visitor) -> None:
    go(browser, "Roster")
    browser.sees("of 3")
    browser.press("link", "Mira")
    browser.find("heading", "*new 3*")
    browser.sees("Eighths stay home")
    go(browser, "Progress")
    browser.press("link", "Mira")
    browser.find("heading", "Progress of Mira")


def test_a_teacher_signs_in_assigns_what_they_heard_and_sees_it(open_browser, teacher, student):
    browser = open_browser("1280x800")
    sign_in(browser, teacher.email)
    type_a_bar(browser)
    make_a_rule_set(browser)
    assign(browser)
    see_the_student(browser)
