"""A bar is typed as it is counted, or set on the grid; both say the same."""

import pytest
from playwright.sync_api import Page, Route, expect

from rhythms.models import SourceBar
from tests.browser.page_checks import assert_accessible, assert_fits
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)

COUNTS = "1 & 2 e & a 3 & 4 e & a"

#: How far, in px, the caret stands from the column of the field that it is for.
OFF_BY = """column => {
  const field = document.getElementById("id_counts");
  const style = getComputedStyle(field);
  const pen = document.createElement("canvas").getContext("2d");
  pen.font = style.font;
  const before = pen.measureText(field.value.slice(0, column)).width - field.scrollLeft;
  const start = parseFloat(style.borderLeftWidth) + parseFloat(style.paddingLeft);
  const text = document.querySelector(".caret-line").firstChild;
  const mark = document.createRange();
  mark.setStart(text, text.length - 1);
  mark.setEnd(text, text.length);
  return mark.getBoundingClientRect().left - field.getBoundingClientRect().left - start - before;
}"""


@pytest.fixture
def editor(screen, teacher) -> Page:
    return open_as(screen, teacher, "/bars/new/")


def line(page: Page):
    return page.get_by_label("Count line")


def cell(page: Page, name: str):
    return page.get_by_role("button", name=name)


def strokes(page: Page):
    return page.locator("#engraving .stroke")


@pytest.mark.parametrize(
    ("typed", "column"),
    [("1 & 2 x", 6), ("x", 0), ("  1 & 2 e & a 3 & 4 e & az", 24), ("1 trip let " * 7, 11)],
)
def test_the_error_stands_under_its_column(editor, typed, column):
    line(editor).press_sequentially(typed)
    message = editor.locator("#counts-message")
    expect(message).to_contain_text(f"column {column + 1},")
    assert abs(editor.evaluate(OFF_BY, column)) < 2
    assert_accessible(editor)


def test_the_error_goes_and_the_bar_is_engraved_while_typing(editor):
    line(editor).press_sequentially("1 & 2 e & a 3 & 4 e & x")
    expect(editor.locator("#counts-message")).to_contain_text("At column 23, “x”")
    line(editor).press("Backspace")
    line(editor).press_sequentially("a")
    expect(editor.locator("#counts-message")).to_be_empty()
    expect(strokes(editor)).to_have_count(12)
    expect(line(editor)).to_have_value(COUNTS)
    expect(editor.locator("[data-kind=sound]")).to_have_count(12)
    assert_accessible(editor)


@pytest.fixture
def held_back(editor) -> list[Route]:
    """The editor is open, and its scripts are still on a slow line: `held_back` has them."""
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    editor.route("**/htmx*.js", hold)
    editor.goto("/bars/new/", wait_until="commit")
    return held


def test_what_is_typed_before_the_page_is_ready_is_engraved_too(editor, held_back):
    line(editor).fill(COUNTS)
    held_back.pop().continue_()
    expect(strokes(editor)).to_have_count(12)


def test_what_is_chosen_before_the_page_is_ready_is_drawn_too(editor, held_back):
    editor.get_by_label("Beat 1 in").select_option("16ths")
    held_back.pop().continue_()
    expect(cell(editor, "Beat 1, place 4, a: sound")).to_be_visible()


def test_a_line_that_breaks_leaves_the_last_drawing(editor):
    line(editor).fill(COUNTS)
    expect(strokes(editor)).to_have_count(12)
    line(editor).press_sequentially("x")
    expect(editor.locator("#counts-message")).to_contain_text("“ax”")
    expect(strokes(editor)).to_have_count(12)


def test_the_grid_writes_the_count_line(editor):
    line(editor).fill(COUNTS)
    expect(strokes(editor)).to_have_count(12)
    cell(editor, "Beat 1, place 2, &: sound").click()
    expect(line(editor)).to_have_value("1 (&) 2 e & a 3 & 4 e & a")
    cell(editor, "Beat 1, place 2, &: rest").click()
    expect(line(editor)).to_have_value("1 2 e & a 3 & 4 e & a")
    cell(editor, "Beat 1, place 2, &: hold").click()
    expect(line(editor)).to_have_value(COUNTS)
    cell(editor, "Beat 2, place 1, 2: accent").click()
    expect(line(editor)).to_have_value("1 & 2> e & a 3 & 4 e & a")
    expect(cell(editor, "Beat 2, place 1, 2: accent")).to_have_attribute("aria-pressed", "true")
    expect(strokes(editor)).to_have_count(12)
    assert_accessible(editor)


def test_the_grid_can_be_set_with_the_keyboard_alone(editor):
    editor.get_by_label("Beat 1 in").focus()
    editor.get_by_label("Beat 1 in").select_option("triplets")
    expect(line(editor)).to_have_value("1 trip let - - -")
    expect(editor.get_by_label("Beat 1 in")).to_be_focused()
    cell(editor, "Beat 1, place 3, let: sound").focus()
    editor.keyboard.press("Space")
    expect(line(editor)).to_have_value("1 trip (let) (2) - -")
    expect(cell(editor, "Beat 1, place 3, let: rest")).to_be_focused()
    editor.keyboard.press("Shift+Tab")
    editor.keyboard.press("Enter")
    expect(line(editor)).to_have_value("1 trip let> - - -")


def test_quick_touches_are_all_heard(editor):
    editor.get_by_label("Beat 1 in").select_option("16ths")
    expect(cell(editor, "Beat 1, place 4, a: sound")).to_be_visible()
    for label in ("place 2, e", "place 3, &", "place 4, a"):
        cell(editor, f"Beat 1, {label}: sound").click(no_wait_after=True)
    expect(line(editor)).to_have_value("1 (e) (&) (a) (2) - -")


def test_a_beat_may_be_divided_in_five_or_half_by_half(editor):
    line(editor).fill("1 2 3 4")
    expect(strokes(editor)).to_have_count(4)
    editor.get_by_label("Beat 1 in").select_option("quintuplets")
    expect(line(editor)).to_have_value("1 ka di mi ti 2 3 4")
    editor.get_by_label("Beat 2 in").select_option("16ths + triplets")
    expect(line(editor)).to_have_value("1 ka di mi ti 2 e & trip let 3 4")
    editor.get_by_label("Beat 1 in").select_option("triplets + 16ths")
    expect(line(editor)).to_have_value("1 trip let & a 2 e & trip let 3 4")
    expect(strokes(editor)).to_have_count(12)


def test_a_pickup_is_typed_and_set_on_the_grid(editor):
    line(editor).fill("4 & | 1 2 3 4")
    expect(strokes(editor)).to_have_count(6)
    cell(editor, "Pick-up, beat 4, place 1, 4: sound").click()
    expect(line(editor)).to_have_value("(4) & | 1 2 3 4")
    editor.get_by_label("Meter").fill("7/8 (3+2+2)")
    line(editor).fill("6 7 | 1 - 6")
    expect(cell(editor, "Counts 1 to 3, place 1, 1: sound")).to_be_visible()
    assert_accessible(editor)


def test_a_pickup_is_added_on_the_grid_and_taken_away_again(editor):
    line(editor).fill("1 & 2 3 4")
    expect(strokes(editor)).to_have_count(5)
    pickup = editor.get_by_label("Pick-up", exact=True)
    expect(pickup.locator("option")).to_have_text(["none", "from 4", "from 3", "from 2"])
    pickup.select_option("from 3")
    expect(line(editor)).to_have_value("3 4 | 1 & 2 3 4")
    expect(strokes(editor)).to_have_count(7)
    cell(editor, "Pick-up, beat 3, place 1, 3: sound").click()
    expect(line(editor)).to_have_value("(3) 4 | 1 & 2 3 4")
    editor.get_by_label("Pick-up, beat 4 in").select_option("eighths")
    expect(line(editor)).to_have_value("(3) 4 & | 1 & 2 3 4")
    expect(pickup).to_have_value("2")
    assert_accessible(editor)
    pickup.select_option("none")
    expect(line(editor)).to_have_value("1 & 2 3 4")
    expect(cell(editor, "Pick-up")).to_have_count(0)
    line(editor).fill("2 3 4 | 1 & 2 3 4")
    expect(pickup).to_have_value("3")


def test_a_pickup_is_added_with_the_keyboard_alone(editor):
    editor.get_by_label("Meter").fill("6/8")
    expect(editor.get_by_label("Counts 4 to 6 in")).to_be_visible()
    line(editor).fill("1 2 3 4 5 6")
    expect(strokes(editor)).to_have_count(6)
    pickup = editor.get_by_label("Pick-up", exact=True)
    pickup.focus()
    editor.keyboard.press("ArrowDown")
    expect(line(editor)).to_have_value("6 | 1 2 3 4 5 6")
    expect(pickup).to_be_focused()
    editor.keyboard.press("ArrowDown")
    expect(line(editor)).to_have_value("5 6 | 1 2 3 4 5 6")
    expect(pickup).to_be_focused()
    editor.keyboard.press("Tab")
    expect(editor.get_by_label("Pick-up, counts 5 to 6 in")).to_be_focused()
    editor.keyboard.press("Tab")
    editor.keyboard.press("Tab")
    editor.keyboard.press("Space")
    expect(line(editor)).to_have_value("(5) 6 | 1 2 3 4 5 6")
    expect(cell(editor, "Pick-up, counts 5 to 6, place 1, 5: rest")).to_be_focused()
    assert_accessible(editor)


def test_another_meter_brings_another_grid(editor):
    line(editor).fill("1 & 2 & 3 &")
    expect(editor.locator("#counts-message")).to_contain_text("the bar is not full.")
    editor.get_by_label("Meter").fill("3/4")
    expect(strokes(editor)).to_have_count(6)
    expect(editor.get_by_label("Beat 4 in")).to_have_count(0)
    editor.get_by_label("Meter").fill("6/8")
    expect(editor.get_by_label("Counts 4 to 6 in")).to_be_visible()


def test_a_bar_that_is_saved_comes_back_from_its_own_page(editor):
    line(editor).fill("1 2 3 (4")
    editor.get_by_label("Name").fill("Walking home")
    editor.get_by_role("button", name="Save bar").click()
    expect(editor.get_by_role("alert")).to_contain_text("Not saved yet.")
    expect(line(editor)).to_have_value("1 2 3 (4")
    assert abs(editor.evaluate(OFF_BY, 6)) < 2
    assert_accessible(editor)
    line(editor).fill("1 2 3 (4)")
    expect(editor.locator("#counts-message")).to_be_empty()
    editor.get_by_role("button", name="Save bar").click()
    expect(editor.get_by_role("heading", name="Walking home")).to_be_visible()
    expect(editor.locator(".notation svg").first).to_be_visible()
    assert_accessible(editor)
    assert SourceBar.objects.get(name="Walking home").counts == "1 2 3 (4)"


def test_the_places_of_32nds_fit_the_screen(editor):
    line(editor).fill("1 ta e ta & ta a ta 2 3 4")
    expect(editor.locator("#grid [data-cell]")).to_have_count(11)
    assert_fits(editor)
