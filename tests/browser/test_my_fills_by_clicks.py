"""A student looks through their fills, hears and finds one; their teacher calls one otherwise."""

import pytest
from playwright.sync_api import expect

from assignments.practice.practice_log import mark_mastered
from tests.assignments.making import first_fill, give
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def fill(student):
    return first_fill(give(student, 3))


@pytest.mark.parametrize("look", ["light", "dark"])
def test_each_fill_is_a_picture_with_its_name_and_is_heard_in_its_place(
    screen, student, fill, look
):
    mark_mastered(fill)
    screen.emulate_media(color_scheme=look)
    page = open_as(screen, student, "/fills/")
    picture = page.get_by_role("img", name=f"{fill}", exact=True)
    expect(picture).to_be_visible()
    room = picture.bounding_box()
    assert room["width"] / room["height"] == pytest.approx(168 / 60, abs=0.05)
    hear = page.get_by_role("button", name=f"Hear {fill}", exact=True)
    hear.click()
    expect(page.get_by_role("button", name=f"Stop {fill}", exact=True)).to_be_visible()
    assert page.url.endswith("/fills/")
    assert_accessible(page)


def test_a_fill_is_found_with_the_keyboard_and_opened(screen, student):
    fill = first_fill(give(student, 20))
    page = open_as(screen, student, "/fills/")
    page.get_by_role("searchbox").fill(fill.name)
    page.get_by_role("searchbox").press("Enter")
    found = page.get_by_role("link", name=f"{fill}", exact=True)
    expect(found).to_be_visible()
    assert_accessible(page)
    found.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text(fill.name)


def test_a_picture_comes_by_itself_into_the_room_it_has(phone, student, engraver):
    fill = give(student, 1).variations.get()
    page = open_as(phone, student, "/fills/")
    waiting = page.locator(".fill-picture[aria-busy]")
    expect(waiting).to_have_count(1)
    room = waiting.bounding_box()
    engraver.work()
    expect(waiting).to_have_count(0)
    drawn = page.get_by_role("img", name=f"{fill}", exact=True)
    expect(drawn.locator("path").first).to_be_attached()
    assert page.locator(".fill-picture").bounding_box() == room


def test_the_teacher_calls_a_fill_otherwise(screen, teacher, student, fill, console_errors):
    other = fill.assignment.variations.get(position=2)
    page = open_as(screen, teacher, f"/students/{student.pk}/")
    page.get_by_text(f"Rename {fill}", exact=True).click()
    field = page.get_by_label(f"Name of {fill}, at most 40 letters")
    field.fill(other.name)
    field.press("Enter")
    expect(page.get_by_label("Name")).to_have_value(other.name)
    expect(page.get_by_text("The student has another fill of this bar")).to_be_visible()
    assert_accessible(page)
    console_errors.clear()  # a page refused with 422 is one, to the console
    page.get_by_label("Name").fill("The waterfall")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#messages")).to_contain_text("It is called 1, The waterfall now.")
    assert_accessible(page)
