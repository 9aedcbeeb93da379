"""Pages in Debian's Chromium, at the size of a phone and of a desktop.

A test that takes one of these pages fails if the browser's console shows an error.
"""

import os
import shutil
from collections.abc import Callable, Iterator
from queue import Empty, SimpleQueue

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.assignments.comfort_making import walks
from tests.assignments.making import give, logged, make_rule_set, taken
from tests.browser.page_checks import DESKTOP, PHONE

# Playwright keeps an event loop running in the tests' own thread.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

QUIET_ARGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

# A slow machine is not a failure.
expect.set_options(timeout=15_000)

PageMaker = Callable[..., Page]

#: Without its windows, Debian's Chromium takes half the time, and shows the same pages.
CHROMIUM = (
    os.environ.get("CHROMIUM") or shutil.which("chromium-headless-shell") or "/usr/bin/chromium"
)


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    """Mark what needs a browser; without one, skip it before a database is made ready for it."""
    reason = f"no {CHROMIUM}: install chromium-headless-shell, or say in CHROMIUM where one is"
    missing = pytest.mark.skip(reason=reason)
    for item in items:
        if "tests/browser/" in item.path.as_posix():
            item.add_marker(pytest.mark.browser)
            if not shutil.which(CHROMIUM):
                item.add_marker(missing)


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args):
    return {**browser_type_launch_args, "executable_path": CHROMIUM, "args": QUIET_ARGS}


@pytest.fixture
def console_errors() -> Iterator[list[str]]:
    """Everything the console complained of; a test that provokes an error clears the list."""
    errors: list[str] = []
    yield errors
    assert errors == []


@pytest.fixture
def open_page(
    browser: Browser, live_server, all_answered, same_sounds, same_drawings, console_errors
) -> Iterator[PageMaker]:
    """Open a page of this size in a session of its own, as on another person's device.

    One that `keeps_pages` has its service worker, as a real device has.
    """
    contexts = []

    def open_page(size: dict[str, int], *, keeps_pages: bool = False) -> Page:
        # Copies that a worker makes in the background would run on after the test.
        context = browser.new_context(
            viewport=size,
            base_url=live_server.url,
            service_workers="allow" if keeps_pages else "block",
        )
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(10_000)
        page.on("pageerror", lambda error: console_errors.append(str(error)))
        page.on(
            "console",
            lambda message: (
                console_errors.append(message.text) if message.type == "error" else None
            ),
        )
        return page

    yield open_page
    for context in contexts:
        context.close()


class Engraver:
    """A worker that does nothing until it is told to."""

    def __init__(self) -> None:
        self.jobs: SimpleQueue[tuple[Callable[[object], None], list[object]]] = SimpleQueue()
        self.is_awake = False

    def take(self, task: Callable[[object], None], keys: list[object]) -> None:
        self.jobs.put((task, keys))
        if self.is_awake:
            self.catch_up()

    def catch_up(self) -> None:
        """Do what waits."""
        while True:
            try:
                task, keys = self.jobs.get_nowait()
            except Empty:
                return
            for key in keys:
                task(key)

    def work(self) -> None:
        """Do what waits, and what comes: a page that is just asking may ask once more."""
        self.is_awake = True
        self.catch_up()


@pytest.fixture
def engraver(monkeypatch) -> Engraver:
    """What the pages of this test ask of the worker waits, as in a long queue."""
    engraver = Engraver()
    monkeypatch.setattr("studio.task_queue.enqueue_on_commit", engraver.take)
    return engraver


@pytest.fixture
def phone(open_page) -> Page:
    return open_page(PHONE)


@pytest.fixture
def desktop(open_page) -> Page:
    return open_page(DESKTOP)


@pytest.fixture(params=[PHONE, DESKTOP], ids=["390px", "1280px"])
def screen(request, open_page) -> Page:
    """The same test on a phone and on a desktop."""
    return open_page(request.param)


NOTE = "The left hand is late, and the last beat hurries as soon as the crash is near."


@pytest.fixture
def busy(student, bar, day) -> None:
    """A student with something on every page."""
    name = "Paradiddle on the 16ths, round the kit, eighths away from the snare"
    first, second = give(
        student, 2, bar=bar, rule_set=make_rule_set(student.studio, name=name), note=NOTE
    ).variations.all()
    played = {"tempo": 80, "loops": 28, "clean_loops": 17, "felt": "good", "note": NOTE}
    logged(student, 5, day, first, **played)
    second.record_step("mastered", day)
    taken(student, first, tempo=97)
    walks(student, day)
