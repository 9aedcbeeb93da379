"""What is folded away on a fill's page, opened."""

from playwright.sync_api import Page


def open_player(page: Page) -> Page:
    """The player on the page itself, with its loops, click and ways."""
    page.get_by_text("How it is played").click()
    return page


def at_the_fastest(page: Page) -> Page:
    """The open player at 240, whatever today's plan says: a bar of 4/4 lasts a second."""
    faster = page.get_by_role("button", name="5 faster")
    for _ in range(42):
        if page.locator("[data-player-tempo]").inner_text() == "240":
            break
        faster.click()
    return page


def open_form(page: Page) -> Page:
    """The form for what was played without the page."""
    page.locator("[data-log-fold]").evaluate("fold => { fold.open = true; }")
    return page
