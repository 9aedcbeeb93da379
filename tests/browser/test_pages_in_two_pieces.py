"""What of a page is painted before all of it is there stays where it is.

A browser paints what has come. What stands later in the page but is shown above, or whose size
hangs on what comes after it, moves what somebody reads already. Each page is sent in two pieces,
the second once all of the first is painted, and counted is what moves from then on; no script runs,
so that nothing else can move it (what scripts show has its own test, `test_layout_shift`). Only the
line of a list or a table in which a page was cut may still find its shape, and columns of a table
their widths, as far as that is little.
"""

from collections.abc import Iterator
from typing import NamedTuple

import pytest
from playwright.sync_api import Page, Route

from tests.browser.cut_pages import CUT, CutPages, pages_cut
from tests.browser.signing_in import open_as
from tests.browser.test_layout_shift import MOST, PAINTED, TWO_FRAMES
from tests.browser.visiting_pages import led_to

pytestmark = pytest.mark.django_db(transaction=True)
#: From when the first piece is there as a whole: a browser may paint it bit by bit.
OBSERVE = """() => {
    window.moved = { score: 0, down: [] };
    new PerformanceObserver((list) => {
      for (const { value, sources } of list.getEntries()) {
        moved.score += value;
        for (const { node, previousRect: was, currentRect: is } of sources) {
          const element = node instanceof Element ? node : node?.parentElement;
          if (Math.abs(was.y - is.y) < 1 || window.cutLine?.contains(element)) continue;
          moved.down.push(`${was.y} to ${is.y}: ${element?.cloneNode().outerHTML}`);
        }
      }
    }).observe({ type: "layout-shift" });
}"""
#: The line that is not all there yet, if what came ends in one.
CUT_LINE = """() => {
    const last = [...document.querySelectorAll("main *")].at(-1);
    window.cutLine = last?.closest("li, tr");
}"""
#: The cut may be within a template; a page that was only just begun has no element yet.
FIRST_PIECE_CAME = f"() => document.documentElement?.outerHTML.includes('{CUT.decode()}')"
MOVED = "() => ({ ...window.moved })"


class Moved(NamedTuple):
    """The sum of the scores of all layout shifts, and what went up or down."""

    score: float
    down: list[str]

    @property
    def too_much(self) -> bool:
        return bool(self.down) or self.score >= MOST


def no_script(route: Route) -> None:
    if "before_modules" in route.request.url:
        route.continue_()
    else:
        route.fulfill(content_type="text/javascript", body="")


class InTwoPieces:
    """A page that is visited so."""

    def __init__(self, page: Page, pages: CutPages) -> None:
        self.page, self.pages = page, pages
        page.route("**/*.js", no_script)

    def visit(self, path: str) -> None:
        self.pages.may_go_on.clear()
        self.page.goto(path, wait_until="commit")
        self.page.wait_for_function(FIRST_PIECE_CAME)
        self.page.evaluate(PAINTED)
        self.page.evaluate(TWO_FRAMES)
        self.page.evaluate(CUT_LINE)
        self.page.evaluate(OBSERVE)
        self.pages.go_on()
        self.page.wait_for_load_state()

    def moved(self) -> Moved:
        self.page.evaluate(TWO_FRAMES)
        return Moved(**self.page.evaluate(MOVED))


@pytest.fixture
def cut(live_server) -> Iterator[CutPages]:
    with pages_cut(live_server) as pages:
        yield pages


def come_in(page: Page, who, cut: CutPages, start: str) -> InTwoPieces:
    cut.go_on()
    open_as(page, who, start)
    return InTwoPieces(page, cut)


def moved_on_the_way(pieces: InTwoPieces, start: str) -> dict[str, Moved]:
    """By page that links lead to: what moved on it, where that is too much."""
    found = {name: pieces.moved() for name in led_to(pieces.page, start, pieces.visit)}
    assert len(found) > 20, found
    return {name: moved for name, moved in found.items() if moved.too_much}


def test_on_a_teachers_pages_nothing_moves_that_was_painted(screen, teacher, busy, cut):
    pieces = come_in(screen, teacher, cut, "/roster/")
    assert moved_on_the_way(pieces, "/roster/") == {}


def test_on_a_students_pages_nothing_moves_that_was_painted(screen, student, busy, cut):
    pieces = come_in(screen, student, cut, "/today/")
    assert moved_on_the_way(pieces, "/today/") == {}


def test_fills_by_state_stay_where_they_are(screen, teacher, student, busy, cut):
    pieces = come_in(screen, teacher, cut, "/roster/")
    cut.mark = '<section aria-labelledby="state-'
    pieces.visit(f"/students/{student.pk}/")
    assert pieces.moved() == Moved(0, [])


def test_the_pages_in_the_header_stay_where_they_are(screen, teacher, busy, cut):
    pieces = come_in(screen, teacher, cut, "/roster/")
    cut.mark = '<div class="account"'
    pieces.visit("/roster/")
    assert pieces.moved() == Moved(0, [])


def test_a_page_that_is_shown_from_its_end_is_noticed(screen, student, busy, cut):
    """As the groove editor once was: what comes last in it stood first."""
    pieces = come_in(screen, student, cut, "/today/")
    reverse = """
        main, main > div { display: flex; flex-direction: column-reverse; justify-content: end; }
    """

    def reversed_(route: Route) -> None:
        answer = route.fetch()
        route.fulfill(response=answer, body=answer.text() + reverse)

    screen.route("**/layout*.css", reversed_)
    pieces.visit("/about-me/")
    assert pieces.moved().down
