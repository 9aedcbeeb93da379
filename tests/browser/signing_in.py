"""How a teacher comes to a page, and a student to theirs."""

from django.urls import reverse
from playwright.sync_api import Page, expect

from studio.models import SignInLink, Student, Teacher
from tests.cast import signed_in_student, signed_in_teacher


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
    expect(page.get_by_role("heading", name="Today", exact=True)).to_be_visible()
    return page
