"""Going through all pages that links lead to, one of each kind."""

from collections.abc import Callable, Iterator
from urllib.parse import urlsplit

from django.urls import resolve
from playwright.sync_api import Page

LINKS = "all => all.map((link) => link.getAttribute('href'))"


def led_to(page: Page, start: str, visit: Callable[[str], object] | None = None) -> Iterator[str]:
    """Open each page that links lead to, one of each kind; yield what it is called.

    It is opened by `visit`, which is given its address, or as a link would.
    """
    waiting, seen = [start], {"studio:sign-out"}
    while waiting:
        path = waiting.pop(0)
        name = resolve(urlsplit(path).path).view_name
        if name in seen:
            continue
        seen.add(name)
        head = page.request.get(path).headers
        if head["content-type"].startswith("text/html") and "content-disposition" not in head:
            (visit or page.goto)(path)
            yield name
            waiting += page.locator("a[href^='/']").evaluate_all(LINKS)
