"""A page whose form is not answered says so, and goes on when it is."""

import pytest
from playwright.sync_api import Page, expect

from tests.assignments.making import make_bar, make_rule_set
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def assign(screen, student, teacher) -> Page:
    make_bar(student.studio)
    make_rule_set(student.studio)
    return open_as(screen, teacher, "/assign/")


def choose_bar(page: Page) -> None:
    page.get_by_label("Bar", exact=True).select_option("Line 4")


def choose_rules(page: Page) -> None:
    page.get_by_label("Rule set").select_option("Eighths stay")


def note(page: Page):
    return page.get_by_role("alert").filter(has_text="The studio did not answer.")


def test_without_a_network_a_change_is_said_to_be_unanswered(assign, console_errors):
    assign.context.set_offline(True)
    choose_bar(assign)
    expect(note(assign)).to_be_visible()
    assert_accessible(assign)
    console_errors.clear()


def test_a_proxy_that_answers_for_the_site_is_no_answer(assign, console_errors):
    assign.route("**/assign/draw/", lambda route: route.fulfill(status=503))
    choose_bar(assign)
    expect(note(assign)).to_be_visible()
    # The grooves of another meter are asked for meanwhile, and fills for them once more.
    assign.goto("about:blank")
    console_errors.clear()


def test_with_the_next_answer_the_note_goes(assign, console_errors):
    assign.context.set_offline(True)
    choose_bar(assign)
    expect(note(assign)).to_be_visible()
    assign.context.set_offline(False)
    choose_rules(assign)
    expect(assign.locator("#rules-live")).to_contain_text("16,777,216 fills")
    expect(note(assign)).to_have_count(0)
    console_errors.clear()
