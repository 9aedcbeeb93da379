"""Pages that come in two pieces, as over a slow network."""

import re
import threading
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import Any

Application = Callable[..., Iterable[bytes]]
#: The longest that a second piece waits, in seconds, where a test has come to an end without it.
PATIENCE = 30
#: Where a page is cut; no selector sees a comment.
CUT = b"<!-- cut -->"
ELEMENT = re.compile(rb"<[a-z]")


class CutPages:
    """The site, its pages cut before an element in the middle of `main`, or before the last `mark`.

    `go_on` sends the rest.
    """

    def __init__(self, site: Application) -> None:
        self.site = site
        self.mark = ""
        self.may_go_on = threading.Event()

    def __call__(self, environ: dict[str, Any], start_response: Any) -> Iterator[bytes]:
        environ.pop("HTTP_ACCEPT_ENCODING", None)  # what is compressed cannot be cut so
        answer = self.site(environ, start_response)
        try:
            if environ.get("HTTP_SEC_FETCH_DEST") == "document":
                first, rest = self.cut(b"".join(answer))
                yield first
                if rest:
                    self.may_go_on.wait(PATIENCE)
                    yield rest
            else:
                yield from answer
        finally:
            if close := getattr(answer, "close", None):
                close()

    def cut(self, page: bytes) -> tuple[bytes, bytes]:
        start, end = page.find(b"<main"), page.find(b"</main>")
        middle = len(page)
        if self.mark:
            middle = page.rindex(self.mark.encode())
        elif element := ELEMENT.search(page, (start + end) // 2, end):
            middle = element.start()
        return page[:middle] + CUT, page[middle:]

    def go_on(self) -> None:
        self.may_go_on.set()


@contextmanager
def pages_cut(live_server: Any) -> Iterator[CutPages]:
    """Have the live server cut its pages for a while."""
    server = live_server.thread.httpd
    whole = server.get_app()
    pages = CutPages(whole)
    server.set_app(pages)
    try:
        yield pages
    finally:
        pages.go_on()
        server.set_app(whole)
