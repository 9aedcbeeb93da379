"""A student beside the kit: small screen, sticks in the hands, keyboard or thumb."""

import pytest
from playwright.sync_api import Page, expect

from assignments.models import PracticeEntry
from studio.models import SignInLink
from tests.assignments.making import first_fill, give
from tests.browser.fill_steps import open_form
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)

SMALLEST = {"width": 320, "height": 640}
THUMB = 48
# Links inside a sentence and the wordless links of the page's frame are not meant; a choice is
# touched by its label.
TARGETS = """main :is(button, .button, summary, select, input:not([type=hidden], label > input),
    label:has(> input), .lines a)"""
PATHS = ["/today/", "/fills/", "/log/", "/my-progress/", "/fills/{fill}/"]
TOO_SMALL = """(all, least) => all
    .map((one) => [one.textContent.trim() || one.name, one.getBoundingClientRect()])
    .filter(([, box]) => box.height > 0 && (box.height < least || box.width < least))
    .map(([name, box]) => `${name}: ${box.width} × ${box.height}`)"""


@pytest.fixture
def fill(student):
    return first_fill(give(student, 3, tempo=88))


@pytest.fixture(params=["light", "dark"])
def small(request, open_page) -> Page:
    page = open_page(SMALLEST)
    page.emulate_media(color_scheme=request.param)
    return page


def too_small(page: Page) -> list[str]:
    return page.locator(TARGETS).evaluate_all(TOO_SMALL, THUMB)


@pytest.mark.parametrize("path", PATHS)
def test_a_page_fits_the_smallest_phone_and_every_target_a_thumb(small, student, fill, path):
    open_as(small, student, path.format(fill=fill.pk))
    assert_accessible(small)
    assert too_small(small) == []


def test_practice_is_logged_with_the_keyboard_alone(phone, student, fill):
    phone.goto(f"/enter/{SignInLink.issue(student)}/")
    phone.get_by_role("button", name="Go to my practice").press("Enter")
    phone.get_by_role("link", name=str(fill)).press("Enter")
    phone.get_by_text("Practice without the page").press("Enter")
    phone.get_by_role("button", name="10 min").press("Space")
    expect(phone.get_by_label("Minutes", exact=True)).to_have_value("10")
    phone.get_by_label("Minutes", exact=True).press("Enter")
    expect(phone.locator("#messages")).to_contain_text("Saved: 10 min at 88.")


def test_what_was_logged_by_mistake_is_undone_and_brought_back(phone, student, fill):
    open_form(open_as(phone, student, f"/fills/{fill.pk}/"))
    phone.get_by_label("Minutes", exact=True).fill("5")
    phone.get_by_role("button", name="Save").click()
    phone.get_by_role("button", name="Undo").click()
    expect(phone.locator("#messages")).to_contain_text("is removed")
    assert not PracticeEntry.objects.kept().exists()
    phone.get_by_role("button", name="Undo").click()
    expect(phone.locator(".log li")).to_have_count(1)


def test_a_mistake_is_shown_beside_its_field_and_what_was_typed_stays(phone, student, fill):
    open_form(open_as(phone, student, f"/fills/{fill.pk}/"))
    phone.get_by_label("Minutes", exact=True).fill("9999")
    phone.get_by_role("button", name="Save").click()
    expect(phone.locator("#id_minutes_error")).to_contain_text("from 0.1 to 180")
    expect(phone.get_by_label("Minutes", exact=True)).to_have_value("9999")
    assert_accessible(phone)
