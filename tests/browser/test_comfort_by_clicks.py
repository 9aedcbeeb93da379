"""From the studio side by side to the way out, with real clicks."""

import re

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from assignments.days import today_in
from tests.assignments.comfort_making import COUNTS, DAY, look_at, take_of, walk_down, walks, wide
from tests.assignments.making import give, logged, make_bar, make_rule_set, taken
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
    expect(zones.locator(".kit-picture .move-number")).to_have_count(3)
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


@pytest.fixture
def in_two_grooves(student) -> None:
    """Ten takes in funk at 96, three in rock at 120."""
    today = today_in(student.studio)
    for number in range(10):
        take_of(student, today - number * DAY, [walk_down()], groove_heard="funk", tempo=96)
    for number in range(3):
        take_of(student, today - number * DAY, [walk_down()], groove_heard="rock", tempo=120)
    look_at(student)


def of_student(student) -> str:
    return reverse("assignments:student-comfort", args=[student.pk])


@pytest.mark.usefixtures("in_two_grooves")
def test_a_groove_is_chosen_by_keyboard_and_stays_in_the_address(screen, student, teacher):
    page = open_as(screen, teacher, of_student(student))
    expect(page.get_by_text("All of it: 2 grooves, 96 to 120.")).to_be_visible()
    page.get_by_text("Choose what to look at").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_label("Groove or style")).to_be_visible()
    assert_accessible(page)
    page.keyboard.press("Tab")
    page.keyboard.type("Funk")
    page.keyboard.press("Tab")
    page.keyboard.type("90")
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile(r"groove=groove\+funk&slowest=90"))
    expect(page.get_by_text("Funk, from 90 on: 10 of 13 takes.")).to_be_visible()
    assert_accessible(page)
    page.get_by_text("The figures").click()
    expect(page.get_by_role("heading", name="All moves")).to_be_visible()
    assert_accessible(page)


@pytest.mark.usefixtures("in_two_grooves")
def test_what_cannot_be_looked_at_is_said_beside_its_field(screen, student, teacher):
    page = open_as(screen, teacher, f"{of_student(student)}?slowest=120&fastest=90")
    expect(page.get_by_text("This is slower than 120. Give 120 or more.")).to_be_visible()
    expect(page.get_by_label("Tempo to")).to_have_value("90")
    assert_accessible(page)


@pytest.mark.usefixtures("in_two_grooves")
def test_from_too_few_takes_one_link_leads_back(screen, student, teacher):
    page = open_as(screen, teacher, f"{of_student(student)}?groove=groove+rock")
    expect(page.get_by_text("3 takes: too few to say.")).to_be_visible()
    assert_accessible(page)
    page.locator(".empty").get_by_role("link", name="Look at all of it").click()
    expect(page.get_by_text("Rests on 13 takes")).to_be_visible()


@pytest.mark.usefixtures("in_two_grooves")
def test_a_student_chooses_without_a_script(browser, live_server, student):
    with browser.new_context(base_url=live_server.url, java_script_enabled=False) as context:
        page = open_as(context.new_page(), student, reverse("assignments:my-playing"))
        page.get_by_text("Choose what to look at").click()
        page.get_by_label("Groove or style").select_option("Funk: 10 takes")
        page.get_by_role("button", name="Look at these").click()
        expect(page.get_by_text("Funk: 10 of 13 takes.")).to_be_visible()


def test_practice_alone_is_told_apart_from_what_was_played(screen, student, teacher):
    given = give(student, 3)
    logged(student, 9, today_in(student.studio), variation=given.variations.first())
    page = open_as(screen, teacher, of_student(student))
    expect(page.get_by_text("1 of 3 fills given was practised, 9 min")).to_be_visible()
    expect(page.get_by_role("heading", name="Really played")).to_be_visible()
    assert_accessible(page)


def test_the_groove_of_a_fill_alone_is_said_on_its_page(screen, student):
    take = taken(student, events=[[place * 187.5, 38, 80] for place in range(16)])
    page = open_as(screen, student, reverse("assignments:take", args=[take.pk]))
    page.get_by_text("Say with which groove or style it was played").click()
    page.get_by_label("Groove or style around it").select_option("Funk")
    assert_accessible(page)
    page.get_by_role("button", name="Keep it so").click()
    expect(page.get_by_text("Played with funk, as was said.")).to_be_visible()
