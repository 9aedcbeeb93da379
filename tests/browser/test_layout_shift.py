"""Nothing jumps while a page comes in: what scripts show has its place from the start.

Counted is the sum of the scores of all layout shifts (Layout Instability API). Scripts are held
back until the page was painted, so it does not hang on how fast a machine or a network is.
"""

import pytest
from playwright.sync_api import Page, Route, expect

from tests.assignments.making import give
from tests.browser.page_checks import DESKTOP, PHONE
from tests.browser.signing_in import open_as
from tests.browser.visiting_pages import led_to

pytestmark = pytest.mark.django_db(transaction=True)
MOST = 0.05
OBSERVE = """
    window.shifts = [];
    new PerformanceObserver((list) => {
      for (const { value, hadRecentInput, sources } of list.getEntries()) {
        if (hadRecentInput) continue;
        const moved = sources.map(({ node }) => node?.cloneNode().outerHTML ?? node?.nodeName);
        window.shifts.push({ value, moved });
      }
    }).observe({ type: "layout-shift", buffered: true });
"""
PAINTED = """new Promise((painted) =>
    new PerformanceObserver(painted).observe({ type: "paint", buffered: true }))"""
TWO_FRAMES = "new Promise((then) => requestAnimationFrame(() => requestAnimationFrame(then)))"


class SlowScripts:
    """A page whose scripts come once it is painted, but for the one that runs before."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.held: list[Route] | None = None
        page.add_init_script(OBSERVE)
        page.route("**/*.js", self.hold)

    def hold(self, route: Route) -> None:
        if self.held is None or "before_modules" in route.request.url:
            route.continue_()
        else:
            self.held.append(route)

    def visit(self, path: str) -> None:
        self.held = []
        self.page.goto(path, wait_until="commit")
        self.page.evaluate(PAINTED)
        held, self.held = self.held, None
        for route in held:
            route.continue_()
        self.page.wait_for_load_state()

    def shifts(self) -> list[dict]:
        """What moved since the page was opened, with the score of each move."""
        self.page.evaluate(TWO_FRAMES)
        return self.page.evaluate("window.shifts")


def total(shifts: list[dict]) -> float:
    return sum(shift["value"] for shift in shifts)


def moved_on_the_way(page: Page, start: str) -> dict[str, list[dict]]:
    """By page that links lead to: what moved on it, where that is too much."""
    slow = SlowScripts(page)
    found = {name: slow.shifts() for name in led_to(page, start, slow.visit)}
    assert len(found) > 20, found
    return {name: shifts for name, shifts in found.items() if total(shifts) >= MOST}


def test_no_page_of_a_teacher_jumps(screen, teacher, busy):
    open_as(screen, teacher, "/roster/")
    assert moved_on_the_way(screen, "/roster/") == {}


def test_no_page_of_a_student_jumps(screen, student, busy):
    open_as(screen, student, "/today/")
    assert moved_on_the_way(screen, "/today/") == {}


@pytest.mark.parametrize("size", [PHONE, DESKTOP], ids=["390px", "1280px"])
def test_no_page_jumps_when_its_engraving_comes_later(open_page, student, size, engraver):
    fill = give(student, 1).variations.get()
    page = open_as(open_page(size), student, "/today/")
    slow = SlowScripts(page)
    slow.visit(f"/fills/{fill.pk}/")
    expect(page.locator("[data-player-notation] .notation-missing")).to_be_visible()
    engraver.work()
    expect(page.locator(".notation svg.engraving").first).to_be_visible()
    assert total(slow.shifts()) < MOST, slow.shifts()


def test_what_is_counted_stands_there_before_any_script(phone, student):
    fill = give(student, 1).variations.get()
    page = open_as(phone, student, f"/fills/{fill.pk}/")
    counts = page.locator("[data-player-counts]")
    written = page.request.get(page.url).text()
    assert f">{counts.inner_html()}</div>" in written


def test_a_jump_is_noticed(phone, student):
    page = open_as(phone, student, "/today/")
    slow = SlowScripts(page)
    slow.visit("/today/")
    page.evaluate("document.querySelector('main').prepend(document.querySelector('footer'))")
    assert total(slow.shifts()) >= MOST
