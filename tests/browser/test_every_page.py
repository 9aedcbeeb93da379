"""Every page that a link leads to, on the narrowest phone, in the dark, with long names."""

from collections.abc import Iterator
from urllib.parse import urlsplit

import pytest
from django.urls import resolve
from playwright.sync_api import Page

from tests.assignments.comfort_making import walks
from tests.assignments.making import give, logged, make_rule_set, taken
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)
NARROWEST = {"width": 320, "height": 640}
LINKS = "all => all.map((link) => link.getAttribute('href'))"
NOTE = "The left hand is late, and the last beat hurries as soon as the crash is near."


@pytest.fixture
def narrow(open_page) -> Page:
    page = open_page(NARROWEST)
    page.emulate_media(color_scheme="dark")
    return page


@pytest.fixture
def busy(student, bar, day) -> None:
    """A student with something on every page."""
    name = "Paradiddle on the 16ths, round the kit, eighths away from the snare"
    first, second = give(
        student, 2, bar=bar, rule_set=make_rule_set(student.studio, name=name), note=NOTE
    ).variations.all()
    played = {"tempo": 80, "loops": 28, "clean_loops": 17, "felt": "good", "note": NOTE}
    logged(student, 5, day, first, **played)
    second.record_step("mastered", day)
    taken(student, first, tempo=97)
    walks(student, day)


def led_to(page: Page, start: str) -> Iterator[str]:
    """Open each page that links lead to, one of each kind; yield what it is called."""
    waiting, seen = [start], {"studio:sign-out"}
    while waiting:
        path = waiting.pop(0)
        name = resolve(urlsplit(path).path).view_name
        if name in seen:
            continue
        seen.add(name)
        head = page.request.get(path).headers
        if head["content-type"].startswith("text/html") and "content-disposition" not in head:
            page.goto(path)
            yield name
            waiting += page.locator("a[href^='/']").evaluate_all(LINKS)


def test_every_page_of_a_teacher_fits_and_can_be_used_by_all(narrow, teacher, busy):
    open_as(narrow, teacher, "/roster/")
    names = []
    for name in led_to(narrow, "/roster/"):
        assert_accessible(narrow)
        names.append(name)
    assert len(names) > 40, names


def test_every_page_of_a_student_fits_and_can_be_used_by_all(narrow, student, busy):
    open_as(narrow, student, "/today/")
    names = []
    for name in led_to(narrow, "/today/"):
        assert_accessible(narrow)
        names.append(name)
    assert len(names) > 20, names
