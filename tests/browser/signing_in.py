"""How a teacher comes to a page."""

from playwright.sync_api import Page

from tests.cast import PASSWORD


def open_as(page: Page, teacher, address: str) -> Page:
    """Open the page of this address by way of signing in; it is loaded when this returns."""
    page.goto(address)
    page.get_by_label("E-mail").fill(teacher.email)
    page.get_by_label("Password", exact=True).fill(PASSWORD)
    page.get_by_role("main").get_by_role("button", name="Sign in").click()
    page.wait_for_url(f"**{address}")
    return page
