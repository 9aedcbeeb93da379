"""The assign page fills in while it is filled in, with real clicks."""

import re
import time

import pytest
from playwright.sync_api import Page, expect

from assignments.assigning.forms import MOST_BOXES
from assignments.models import AssignedVariation
from tests.assignments.making import make_bar, make_rule_set
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as
from tests.cast import add_student

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def assign(screen, student, classmate, teacher) -> Page:
    make_bar(student.studio)
    make_rule_set(student.studio)
    return open_as(screen, teacher, "/assign/")


def choose_all(page: Page) -> None:
    page.get_by_label("Bar", exact=True).select_option("Line 4")
    page.get_by_label("Rule set").select_option("Eighths stay")
    # By the keyboard: what was chosen shows above it meanwhile, and moves it on a phone.
    page.get_by_role("checkbox", name="Mira").press("Space")


def numbers(page: Page) -> list[str]:
    expect(page.locator("#drawn .fill-card svg").first).to_be_visible()
    return page.locator("#drawn input[name^=fill-]").evaluate_all("all => all.map(i => i.value)")


def button(page: Page):
    return page.locator("#assign-button")


def test_each_step_shows_what_follows_from_it(assign):
    assert_accessible(assign)
    assign.get_by_label("Bar", exact=True).select_option("Line 4")
    expect(assign.locator("#bar-live svg")).to_be_visible()
    assign.get_by_label("Rule set").select_option("Eighths stay")
    expect(assign.locator("#rules-live")).to_contain_text("16,777,216 fills")
    assign.get_by_role("checkbox", name="Mira").check()
    expect(button(assign)).to_have_text("Assign 3 fills to Mira")
    assign.get_by_role("checkbox", name="Jonas").check()
    expect(button(assign)).to_have_text("Assign 3 fills each to Jonas and Mira")
    assert_accessible(assign)


def test_among_many_students_one_is_found_by_typing(screen, student, classmate, teacher, studio):
    for at in range(MOST_BOXES):
        add_student(studio, f"Number {at:02}")
    assign = open_as(screen, teacher, f"/assign/?students={classmate.pk}")
    boxes = assign.get_by_role("group", name="Students").get_by_role("checkbox")
    expect(boxes).to_have_count(MOST_BOXES + 2)
    assign.get_by_label("Find a student by nickname").fill("mIr")
    expect(boxes).to_have_count(2)
    expect(boxes.nth(0)).to_be_checked()
    expect(assign.get_by_text("1 student", exact=True)).to_be_visible()
    assert_accessible(assign)


def test_a_redraw_leaves_the_kept_fill_and_a_swap_changes_one(assign):
    choose_all(assign)
    expect(button(assign)).to_have_text("Assign 3 fills to Mira")
    first, second, third = numbers(assign)
    assign.get_by_role("checkbox", name=re.compile("^Keep")).nth(1).check()
    assign.get_by_role("button", name="Draw others").click()
    expect(assign.locator("#drawn input[name^=fill-]").first).not_to_have_value(first)
    assert numbers(assign)[1] == second
    expect(assign.get_by_role("checkbox", name=re.compile("^Keep")).nth(1)).to_be_checked()
    before = numbers(assign)
    assign.get_by_role("button", name=re.compile("^Swap")).nth(2).click()
    expect(assign.locator("#drawn input[name^=fill-]").nth(2)).not_to_have_value(before[2])
    assert numbers(assign)[:2] == before[:2]
    assert third not in numbers(assign)


def answer_late(page: Page, seconds: float) -> None:
    """Let each draw from now on take so long."""

    def late(route):
        time.sleep(seconds)
        route.continue_()

    page.route("**/draw/", late)


@pytest.fixture
def slow_draw(assign) -> Page:
    """The page, once fills are drawn; from now on each answer takes its time."""
    choose_all(assign)
    expect(button(assign)).to_have_text("Assign 3 fills to Mira")
    answer_late(assign, 0.4)
    return assign


def test_a_redraw_asked_for_while_a_change_is_on_its_way_is_done_after_it(slow_draw):
    first, *_ = numbers(slow_draw)
    slow_draw.get_by_label("Fills for each").fill("2")
    slow_draw.get_by_role("button", name="Draw others").click()
    expect(button(slow_draw)).to_have_text("Assign 2 fills to Mira")
    expect(slow_draw.locator("#drawn input[name^=fill-]").first).not_to_have_value(first)


def test_what_looks_for_an_engraving_takes_no_wish_away(assign, engraver):
    choose_all(assign)
    expect(button(assign)).to_have_text("Assign 3 fills to Mira")
    fill = assign.locator("#drawn input[name^=fill-]").first
    first = fill.input_value()
    looks: list[str] = []
    assign.on("request", lambda request: looks.append(request.url))

    answer_late(assign, 2.5)  # each engraving is looked for meanwhile
    assign.get_by_label("Fills for each").fill("2")
    assign.get_by_role("button", name="Draw others").click()
    expect(button(assign)).to_have_text("Assign 2 fills to Mira")
    expect(fill).not_to_have_value(first)
    assert any("/renderings/" in url for url in looks)


def test_swaps_asked_for_at_once_are_all_done(slow_draw):
    first, second, third = numbers(slow_draw)
    for swap in slow_draw.get_by_role("button", name=re.compile("^Swap")).all():
        swap.click(no_wait_after=True)
    fills = slow_draw.locator("#drawn input[name^=fill-]")
    for at, before in enumerate((first, second, third)):
        expect(fills.nth(at)).not_to_have_value(before)


def test_what_the_page_has_heard_is_not_drawn_again_when_its_last_parts_come(assign):
    choose_all(assign)
    expect(button(assign)).to_have_text("Assign 3 fills to Mira")
    first, *_ = numbers(assign)
    asked: list[str] = []
    assign.on("request", lambda request: asked.append(request.url))
    assign.evaluate("dispatchEvent(new Event('load'))")
    assign.get_by_role("button", name="Draw others").click()
    expect(assign.locator("#drawn input[name^=fill-]").first).not_to_have_value(first)
    assert [url for url in asked if "/draw/" in url] == [assign.url.rstrip("/") + "/draw/"]


def test_an_error_comes_and_goes_beside_its_field_and_typed_values_stay(assign):
    choose_all(assign)
    assign.get_by_label("Note to the student").fill("Slowly")
    tempo = assign.get_by_label("Tempo")
    tempo.fill("0")
    tempo.blur()
    expect(assign.locator("#id_tempo_error")).to_contain_text("from 30 to 240")
    expect(tempo).to_have_attribute("aria-invalid", "true")
    expect(assign.get_by_label("Note to the student")).to_have_value("Slowly")
    assert_accessible(assign)
    tempo.fill("88")
    tempo.blur()
    expect(assign.locator("#id_tempo_error")).to_be_hidden()
    expect(tempo).not_to_have_attribute("aria-invalid", "true")


def test_enter_in_a_field_shows_the_fills_and_assigns_nothing(assign):
    choose_all(assign)
    expect(button(assign)).to_be_visible()
    assign.get_by_label("Fills for each").fill("2")
    assign.get_by_label("Fills for each").press("Enter")
    expect(button(assign)).to_have_text("Assign 2 fills to Mira")
    assert not AssignedVariation.objects.exists()


def test_what_the_page_shows_is_what_is_assigned(assign):
    choose_all(assign)
    expect(button(assign)).to_have_text("Assign 3 fills to Mira")
    shown = numbers(assign)
    button(assign).click()
    expect(assign.get_by_role("status").first).to_contain_text("Assigned 3 fills to Mira.")
    assert [str(fill.rank) for fill in AssignedVariation.objects.all()] == shown
    assert_accessible(assign)


def test_all_of_it_works_without_scripts(browser, live_server, student, teacher):
    make_bar(student.studio)
    make_rule_set(student.studio)
    with browser.new_context(base_url=live_server.url, java_script_enabled=False) as context:
        page = open_as(context.new_page(), teacher, "/assign/")
        choose_all(page)
        page.get_by_role("button", name="Show the fills").last.click()
        expect(button(page)).to_have_text("Assign 3 fills to Mira")
        button(page).click()
        expect(page.get_by_role("status").first).to_contain_text("Assigned 3 fills to Mira.")
