"""Every page that a link leads to, on the narrowest phone, in the dark, with long names."""

import pytest
from playwright.sync_api import Page

from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as
from tests.browser.visiting_pages import led_to

pytestmark = pytest.mark.django_db(transaction=True)
NARROWEST = {"width": 320, "height": 640}
#: What is typed into, or chosen from, in letters so small that iPhones zoom in on them.
TOO_SMALL = """() => [...document.querySelectorAll("input, select, textarea")]
    .filter((one) => !["hidden", "radio", "checkbox", "range", "file"].includes(one.type))
    .filter((one) => parseFloat(getComputedStyle(one).fontSize) < 16)
    .map((one) => one.outerHTML.slice(0, 99))"""


@pytest.fixture
def narrow(open_page) -> Page:
    page = open_page(NARROWEST)
    page.emulate_media(color_scheme="dark")
    return page


def test_every_page_of_a_teacher_fits_and_can_be_used_by_all(narrow, teacher, busy):
    open_as(narrow, teacher, "/roster/")
    names = []
    for name in led_to(narrow, "/roster/"):
        assert_accessible(narrow)
        assert narrow.evaluate(TOO_SMALL) == [], name
        names.append(name)
    assert len(names) > 40, names


def test_every_page_of_a_student_fits_and_can_be_used_by_all(narrow, student, busy):
    open_as(narrow, student, "/today/")
    names = []
    for name in led_to(narrow, "/today/"):
        assert_accessible(narrow)
        assert narrow.evaluate(TOO_SMALL) == [], name
        names.append(name)
    assert len(names) > 20, names
