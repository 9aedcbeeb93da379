"""How a teacher comes to a page, and a student to theirs."""

import re

from django.core import mail
from django.urls import reverse
from playwright.sync_api import Page, expect

from studio.models import SignInLink, Student, Teacher
from tests.browser.page_checks import assert_accessible
from tests.cast import PASSWORD, signed_in_student, signed_in_teacher


def open_as(page: Page, who: Teacher | Student, address: str) -> Page:
    """Open the page of this address as somebody who has signed in on this device before."""
    client = signed_in_student(who) if isinstance(who, Student) else signed_in_teacher(who)
    page.context.add_cookies(
        [
            {"name": cookie.key, "value": cookie.value, "domain": "localhost", "path": "/"}
            for cookie in client.cookies.values()
        ]
    )
    page.goto(address)
    return page


def enter(page: Page, student: Student) -> Page:
    """Come in by a new personal link; Today is there when this returns."""
    page.goto(reverse("studio:enter", args=[SignInLink.issue(student)]))
    page.get_by_role("button", name="Go to my practice").click()
    expect(page.get_by_role("heading", name=re.compile("^Today"))).to_be_visible()
    return page


def sign_up(page: Page, email: str = "ines@example.org") -> None:
    """Open a studio from the first page on: by the link of a mail, as everybody does."""
    page.goto("/")
    assert_accessible(page)
    page.get_by_role("main").get_by_role("link", name="Open a studio").click()
    page.get_by_label("E-mail").fill(email)
    assert_accessible(page)
    page.get_by_role("button", name="Send me the link").click()
    expect(page.get_by_role("heading", name="Look into your mail")).to_be_visible()
    assert_accessible(page)
    page.goto(re.search(r"/sign-up/\S+/", mail.outbox[-1].body)[0])
    page.get_by_label("Studio name").fill("Room 4")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_label("Time zone").select_option("Europe/Berlin")
    assert_accessible(page)
    page.get_by_role("button", name="Open the studio").click()
