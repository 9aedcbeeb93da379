"""The same site in the engines of Safari and Firefox, which Playwright does not drive here."""

import shutil
from collections.abc import Callable, Iterator

import pytest

from tests.browser.offline.relay import Relay
from tests.other_browsers import firefox_visitor, webkit_visitor
from tests.other_browsers.visitor import Visitor

ENGINES = {
    "webkit": (webkit_visitor.WebKitVisitor, webkit_visitor.NEEDS),
    "firefox": (firefox_visitor.FirefoxVisitor, firefox_visitor.NEEDS),
}
#: The console may say this: a page was left before what it asked for came.
WHEN_A_PAGE_IS_LEFT = ("/api/device/", "due to access control checks")

VisitorMaker = Callable[..., Visitor]


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    """Mark what needs these browsers; without one, skip it before a database is made for it."""
    for item in items:
        if "tests/other_browsers/" not in item.path.as_posix():
            continue
        item.add_marker(pytest.mark.engines)
        engine = getattr(item, "callspec", None) and item.callspec.params.get("engine")
        for program in ENGINES[engine][1] if engine else ():
            if not shutil.which(program):
                item.add_marker(pytest.mark.skip(reason=f"no {program}: .ci/run installs it"))


@pytest.fixture(params=list(ENGINES))
def engine(request) -> str:
    return request.param


@pytest.fixture
def live_server(live_server) -> Iterator[Relay]:
    """The site, behind a network that can be cut without the device knowing."""
    relay = Relay(live_server)
    yield relay
    relay.start()
    relay.stop()


@pytest.fixture
def open_browser(
    engine,
    live_server,
    all_answered,
    all_sounds,
    same_sounds,
    same_drawings,
    tmp_path,
    request,
) -> Iterator[VisitorMaker]:
    """Open a browser of this engine with a profile of its own, as on another person's device."""
    visitors: list[Visitor] = []

    def open_browser(size: str = "390x844") -> Visitor:
        place = tmp_path / str(len(visitors))
        visitors.append(ENGINES[engine][0](live_server.url, place, size))
        return visitors[-1]

    yield open_browser
    for visitor in visitors:
        visitor.close()


@pytest.fixture
def phone(open_browser) -> Visitor:
    return open_browser()
