"""From the studio side by side to the way out, with real clicks."""

import re

import pytest
from playwright.sync_api import Page, expect

from assignments.days import today_in
from tests.assignments.comfort_making import COUNTS, walk_down, walks, wide
from tests.assignments.making import give, make_bar, make_rule_set
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def zones(screen, student, classmate, teacher) -> Page:
    """Mira plays one fill over and over, her classmate anything."""
    today = today_in(student.studio)
    bar = make_bar(student.studio, COUNTS, name="Line of 16ths")
    give(student, 1, bar=bar, rule_set=make_rule_set(student.studio, [], name="Anything"))
    walks(student, today)
    wide(classmate, today, takes=14)
    return open_as(screen, teacher, "/comfort/")


def names(page: Page) -> list[str]:
    return page.locator(".comfort-table tbody th").all_inner_texts()


def test_the_table_is_sorted_by_a_click_on_a_column(zones, student, classmate):
    assert_accessible(zones)
    assert names(zones) == [student.nickname, classmate.nickname]
    zones.get_by_role("link", name="Different fills").click()
    zones.get_by_role("link", name="Different fills").click()
    expect(zones).to_have_url(re.compile("sort=-variety"))
    assert names(zones) == [classmate.nickname, student.nickname]


def test_the_page_of_a_student_shows_the_habit_and_lets_it_be_heard(zones, student):
    zones.get_by_role("link", name=student.nickname, exact=True).click()
    expect(zones.get_by_text("All fills are one and the same, or nearly.")).to_be_visible()
    expect(zones.locator(".comfort-cards svg")).to_be_visible()
    expect(zones.locator(".kit-picture .move-habit")).to_have_count(3)
    assert_accessible(zones)
    zones.get_by_role("button", name="Hear").click()
    expect(zones.get_by_role("button", name="Stop")).to_be_visible()
    expect(zones.get_by_role("button", name="Hear")).to_be_visible()  # it is over


def test_from_the_flag_it_is_one_click_to_drawn_fills_and_one_to_assign_them(zones, student):
    zones.get_by_role("link", name=f"Draw a way out for {student}").click()
    expect(zones.locator("#drawn .fill-card")).to_have_count(3)
    expect(zones.get_by_text(f"Drawn to lead away from what {student} falls")).to_be_visible()
    zones.get_by_role("button", name=f"Assign 3 fills to {student}").click()
    expect(zones.get_by_text(f"Assigned 3 fills to {student}.")).to_be_visible()
    given = student.assignments.order_by("-pk").first()
    assert given.away_from == [walk_down().to_json()]
    zones.goto("/comfort/")
    expect(zones.get_by_text("A way out is under way.")).to_be_visible()
