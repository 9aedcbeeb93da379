"""What is folded away on a fill's page, opened."""

from playwright.sync_api import Page


def open_player(page: Page) -> Page:
    """The player on the page itself, with its loops, click and ways."""
    page.get_by_text("How it is played").click()
    return page


def open_form(page: Page) -> Page:
    """The form for what was played without the page."""
    page.locator("[data-log-fold]").evaluate("fold => { fold.open = true; }")
    return page
