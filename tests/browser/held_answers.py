"""Answers that a test holds back, as on a slow line."""

from playwright.sync_api import Page, Route


class HeldAnswers:
    """What a page asks of an address waits until the test lets it be answered."""

    def __init__(self, page: Page, address: str) -> None:
        self._page = page
        self._held: list[Route] = []
        self._is_open = False
        page.route(address, self._hold)

    def wait_for_one(self) -> None:
        """Return once something is asked."""
        while not self._held:
            self._page.wait_for_timeout(10)

    def answer_all(self) -> None:
        """Let what is held be answered, and from now on everything at once."""
        self._is_open = True
        for route in self._held:
            route.continue_()

    def _hold(self, route: Route) -> None:
        if self._is_open:
            route.continue_()
        else:
            self._held.append(route)
