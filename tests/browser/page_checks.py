"""What a look at a page must show, whatever the page is about."""

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

PHONE = {"width": 390, "height": 844}
DESKTOP = {"width": 1280, "height": 800}


def assert_accessible(page: Page) -> None:
    """Fail on any violation that axe finds, and where the page is wider than the screen."""
    page.wait_for_load_state()
    found = Axe().run(page)
    assert found.violations_count == 0, f"{page.url}\n{found.generate_report()}"
    assert_fits(page)


def assert_fits(page: Page) -> None:
    """Fail where the page has to be scrolled sideways."""
    wider = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    assert page.evaluate(wider) <= 0, f"{page.url} is {page.evaluate(wider)} px too wide"
