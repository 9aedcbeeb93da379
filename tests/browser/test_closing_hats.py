"""What closes an open hi-hat ends its sound in the page's player, in a real browser."""

import pytest
from django.urls import reverse
from playwright.sync_api import Page

from tests.browser.test_player_timing import RATE, run

pytestmark = pytest.mark.browser

SECONDS = 2
#: In tenths of a second: before the second stroke at 0.2 s, and after it.
BEFORE, AFTER = slice(0, 2), slice(3, 5)


@pytest.fixture
def page(desktop: Page, live_server) -> Page:
    desktop.goto(live_server.url)
    return desktop


def loudest(page: Page, *struck: tuple[str, float], cancelled: float | None = None) -> list[float]:
    return run(
        page,
        "struck_in_offline_page.js",
        sounds=reverse("rhythms:sounds"),
        struck=[{"name": name, "time": time} for name, time in struck],
        cancelled=cancelled,
        seconds=SECONDS,
        rate=RATE,
    )


@pytest.mark.parametrize("closing", ["hi-hat", "hi-hat foot"])
@pytest.mark.parametrize("opened", ["open hi-hat", "half-open hi-hat"])
def test_the_next_stroke_or_the_foot_ends_an_open_hi_hat(page, opened, closing):
    ringing, alone = loudest(page, (opened, 0)), loudest(page, (closing, 0.2))
    closed = loudest(page, (opened, 0), (closing, 0.2))
    assert closed[BEFORE] == pytest.approx(ringing[BEFORE], rel=0.01)
    assert max(ringing[AFTER]) > 0.002
    assert closed[AFTER] == pytest.approx(alone[AFTER], abs=1e-4)


def test_another_drum_lets_it_ring(page):
    ringing = loudest(page, ("open hi-hat", 0))
    beside = loudest(page, ("open hi-hat", 0), ("cross-stick", 0.3))
    assert beside[8:11] == pytest.approx(ringing[8:11], rel=0.05)


def test_what_is_struck_together_rings_on(page):
    ringing = loudest(page, ("open hi-hat", 0.1))
    together = loudest(page, ("open hi-hat", 0.1), ("hi-hat foot", 0.1))
    assert max(together[AFTER]) > 0.9 * max(ringing[AFTER])


def test_it_is_ended_once_and_stays_silent(page):
    closed = loudest(page, ("open hi-hat", 0), ("hi-hat", 0.3), ("hi-hat", 0.6))
    alone = loudest(page, ("hi-hat", 0.3), ("hi-hat", 0.6))
    assert closed[5:12] == pytest.approx(alone[5:12], abs=1e-4)


def test_a_closing_stroke_that_is_taken_back_ends_nothing(page):
    ringing = loudest(page, ("open hi-hat", 0))
    taken_back = loudest(page, ("open hi-hat", 0), ("hi-hat", 0.3), cancelled=0.2)
    assert taken_back == pytest.approx(ringing, abs=1e-4)
