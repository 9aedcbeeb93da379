"""Which day it is for a student: the page's own reckoning against Python's time zones."""

from datetime import UTC, datetime, timedelta
from random import Random
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Page

ZONES = ("Europe/Berlin", "America/New_York", "Pacific/Kiritimati", "Asia/Kathmandu", "UTC")
#: Clocks go forward and back: Berlin 2026-03-29 and 2026-10-25, New York 2026-03-08, 2026-11-01.
CHANGES = ("2026-03-29", "2026-10-25", "2026-03-08", "2026-11-01")

DAYS = """async (asked) => {
    const page = document.querySelector('script[src*="offline/offline_page"]').src;
    const { dayIn } = await import(page.replace("offline_page.js", "clock.js"));
    return asked.map(([zone, time]) => dayIn(zone, time));
}"""
WHEN = """async ([entry, here, there]) => {
    const page = document.querySelector('script[src*="offline/offline_page"]').src;
    const { whenMade } = await import(page.replace("offline_page.js", "clock.js"));
    return whenMade(entry, here, there);
}"""
NOW = 1_800_000_000_000
DAY = 86_400_000


def moments() -> list[datetime]:
    """Any time from 2001 to 2033, and every quarter of an hour of the days of a change."""
    random = Random(20)
    start = datetime(2001, 1, 1, tzinfo=UTC)
    anytime = [start + timedelta(seconds=random.randrange(10**9)) for _ in range(500)]
    quarters = [timedelta(minutes=15 * number) for number in range(-96, 192)]
    changes = [datetime.fromisoformat(f"{day}T00:00+00:00") for day in CHANGES]
    return anytime + [change + quarter for change in changes for quarter in quarters]


@pytest.fixture
def page(phone) -> Page:
    phone.goto("/")
    return phone


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("zone", ZONES)
def test_a_day_is_the_one_that_pythons_time_zones_say(page, zone):
    times = moments()
    asked = [[zone, round(time.timestamp() * 1000)] for time in times]
    days = [time.astimezone(ZoneInfo(zone)).date().isoformat() for time in times]
    assert page.evaluate(DAYS, asked) == days


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize(
    ("made", "seen", "here", "expected"),
    [
        pytest.param(NOW - DAY, None, NOW, NOW - DAY, id="right clock"),
        pytest.param(NOW + 3 * DAY, None, NOW + 4 * DAY, NOW - DAY, id="ahead"),
        pytest.param(NOW - 9 * DAY, None, NOW - 8 * DAY, NOW - DAY, id="behind"),
        pytest.param(NOW + 3 * DAY, None, NOW, NOW, id="ahead, set right since"),
        pytest.param(NOW - 400 * DAY, NOW - DAY, NOW, NOW - DAY, id="behind, set right since"),
    ],
)
def test_when_an_entry_was_made_is_told_by_the_servers_clock(page, made, seen, here, expected):
    assert page.evaluate(WHEN, [{"made": made, "seen": seen}, here, NOW]) == expected
