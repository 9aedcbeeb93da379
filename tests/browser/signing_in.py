"""How a teacher comes to a page, and a student to theirs."""

from django.urls import reverse
from playwright.sync_api import Page, expect

from studio.models import SignInLink, Student
from tests.cast import PASSWORD


def open_as(page: Page, teacher, address: str) -> Page:
    """Open the page of this address by way of signing in; it is loaded when this returns."""
    page.goto(address)
    page.get_by_label("E-mail").fill(teacher.email)
    page.get_by_label("Password", exact=True).fill(PASSWORD)
    page.get_by_role("main").get_by_role("button", name="Sign in").click()
    page.wait_for_url(f"**{address}")
    return page


def enter(page: Page, student: Student) -> Page:
    """Come in by a new personal link; Today is there when this returns."""
    page.goto(reverse("studio:enter", args=[SignInLink.issue(student)]))
    page.get_by_role("button", name="Go to my practice").click()
    expect(page.get_by_role("heading", name="Today", exact=True)).to_be_visible()
    return page
