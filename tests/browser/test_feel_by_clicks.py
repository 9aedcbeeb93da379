"""A feel is assigned, seen above the notes, heard and changed: with real clicks, at both sizes."""

import pytest
from playwright.sync_api import Page, expect

from assignments.models import Assignment
from rhythms.engine.bars.feel import Feel
from tests.assignments.making import ALL_ON_SNARE, first_fill, give, make_bar, make_rule_set
from tests.browser.fill_steps import open_player
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def assign(screen, student, teacher) -> Page:
    make_bar(student.studio, "1 & 2 & 3 e & a 4 &")
    make_rule_set(student.studio, [], "Anything")
    page = open_as(screen, teacher, "/assign/")
    page.get_by_label("Bar", exact=True).select_option("Line 4")
    page.get_by_label("Rule set").select_option("Anything")
    page.get_by_role("checkbox", name="Mira").press("Space")
    expect(page.locator("#drawn .fill-card svg").first).to_be_visible()
    return page


def type_swing(page: Page, typed: str) -> None:
    field = page.get_by_label("Swing", exact=False).first
    field.fill(typed)
    field.press("Tab")


def test_a_swing_of_300_percent_is_refused_beside_its_field_and_a_word_is_taken(assign):
    type_swing(assign, "300 %")
    wrong = assign.locator("#id_swing_field").get_by_text("A swing of 300 % cannot be played")
    expect(wrong).to_be_visible()
    assert_accessible(assign)
    type_swing(assign, "triplet")
    expect(wrong).to_have_count(0)
    drawing = assign.locator("#drawn .fill-card svg").first
    expect(drawing.locator("desc")).to_contain_text("Triplet swing (67 %): 1 ")
    assert_accessible(assign)
    assign.locator("#assign-button").click()
    expect(assign.locator("#messages")).to_contain_text("Assigned 3 fills to Mira.")
    assert Assignment.objects.get().feel == Feel(67)


@pytest.fixture
def fill_page(screen, student) -> Page:
    studio = student.studio
    bar = make_bar(studio, "1 & 2 & 3 & 4 &")
    rules = make_rule_set(studio, ALL_ON_SNARE, "On the snare")
    fill = first_fill(give(student, 1, bar=bar, rule_set=rules, feel=Feel(67), tempo=240))
    page = open_as(screen, student, f"/fills/{fill.pk}/")
    expect(page.locator("g.stroke").first).to_be_visible()
    return page


def test_a_student_sees_the_feel_and_plays_by_another(fill_page):
    expect(fill_page.locator(".fill-tempos")).to_contain_text(
        "beats a minute, triplet swing (67 %)"
    )
    feel = open_player(fill_page).get_by_label("Feel", exact=True)
    expect(feel).to_have_value("eighths 67")
    assert_accessible(fill_page)
    feel.select_option("Hard swing (75 %)")
    fill_page.get_by_label("Times through", exact=True).select_option("once")
    fill_page.get_by_role("button", name="Play on this page").click()
    player = fill_page.locator("[data-player]")
    expect(player).to_have_attribute("data-state", "playing")
    feel.select_option("Straight")
    expect(player).to_have_attribute("data-state", "stopped", timeout=15_000)
    expect(feel).to_have_value("straight")
