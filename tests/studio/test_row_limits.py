"""How often something may be done, and from when on again."""

from datetime import UTC, datetime, timedelta

import pytest
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from studio.row_limits import allowed_again, at_the_clock

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
LIMITS = {HOUR: 3, DAY: 5}


@given(st.lists(st.integers(0, 30 * 3600), max_size=12))
def test_it_is_refused_until_both_times_have_room(seconds_ago):
    now = timezone.now()
    times = sorted((now - timedelta(seconds=ago) for ago in seconds_ago), reverse=True)
    within = {window: sum(time + window > now for time in times) for window in LIMITS}
    is_full = any(within[window] >= most for window, most in LIMITS.items())
    assert (allowed_again(times, LIMITS) is not None) == is_full


def test_it_is_allowed_again_when_the_first_of_the_hour_is_an_hour_old():
    now = timezone.now()
    times = [now - timedelta(minutes=ago) for ago in (1, 2, 40)]
    assert allowed_again(times, LIMITS) == times[-1] + HOUR


def test_what_a_clock_that_was_ahead_has_dated_holds_nothing_up():
    later = [timezone.now() + timedelta(days=days) for days in range(9, 0, -1)]
    assert allowed_again(later, LIMITS) is None


def test_whoever_came_often_all_day_waits_longer_than_the_hour():
    now = timezone.now()
    times = [now - timedelta(hours=ago, minutes=5) for ago in range(5)]
    assert allowed_again(times, LIMITS) == times[-1] + DAY


@pytest.mark.parametrize(
    ("hours", "words"), [(1, "at 13:00"), (13, "tomorrow at 01:00")], ids=["today", "tomorrow"]
)
def test_when_it_is_allowed_is_said_by_the_clock(monkeypatch, hours, words):
    noon = datetime(2026, 11, 30, 12, tzinfo=UTC)
    monkeypatch.setattr(timezone, "now", lambda: noon)
    assert at_the_clock(noon + timedelta(hours=hours)) == words
