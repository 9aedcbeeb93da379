"""A day is the student's day in the zone of their studio, also where the clock changes.

Changes of clock of 2026 in the time zone database: in Berlin by Directive 2000/84/EC on the last
Sundays of March and October at 01:00 UTC; in New York on 8 March and 1 November; on Lord Howe by
half an hour.
"""

from datetime import UTC, date, datetime, timedelta
from unittest import mock
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse
from fsrs import Rating
from hypothesis import given
from hypothesis import strategies as st

from assignments.days import today_in
from assignments.models import MasteryEvent, PracticeEntry
from assignments.planner.due import Review, due_on
from assignments.planner.plan import PlanPart
from assignments.practice.practice_log import may_change
from assignments.today.today import today_of
from studio.models import Studio
from tests.assignments.making import first_fill, give, logged

pytestmark = pytest.mark.django_db
TODAY, LOG = reverse("assignments:today"), reverse("assignments:my-log")
SPRING, AUTUMN = date(2026, 3, 29), date(2026, 10, 25)
ZONES = ("Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "America/Santiago")


@pytest.fixture
def clock(studio, monkeypatch):
    """Set the studio's zone and the moment it is."""
    studio.timezone = "Europe/Berlin"
    studio.save()

    def at(*utc) -> None:
        moment = datetime(*utc, tzinfo=UTC)
        monkeypatch.setattr("django.utils.timezone.now", lambda: moment)

    return at


@pytest.mark.parametrize(
    ("utc", "day"),
    [
        ((2026, 3, 28, 22, 59), SPRING - timedelta(days=1)),  # 23:59 in winter time
        ((2026, 3, 28, 23, 0), SPRING),
        ((2026, 3, 29, 21, 59), SPRING),  # 23:59 in summer time
        ((2026, 3, 29, 22, 0), SPRING + timedelta(days=1)),
        ((2026, 10, 24, 21, 59), AUTUMN - timedelta(days=1)),
        ((2026, 10, 24, 22, 0), AUTUMN),
        ((2026, 10, 25, 0, 30), AUTUMN),  # 02:30, the first time
        ((2026, 10, 25, 1, 30), AUTUMN),  # 02:30, again
        ((2026, 10, 25, 22, 59), AUTUMN),  # 23:59 in winter time
        ((2026, 10, 25, 23, 0), AUTUMN + timedelta(days=1)),
    ],
)
def test_the_day_ends_at_midnight_in_the_studio(clock, studio, utc, day):
    clock(*utc)
    assert today_in(studio) == day


@pytest.mark.parametrize(("day", "hours"), [(SPRING, 23), (AUTUMN, 25)])
def test_the_plan_is_the_same_all_day_long(clock, student, studio, day, hours):
    give(student, 3)
    student.studio = studio
    midnight = datetime(day.year, day.month, day.day, tzinfo=ZoneInfo("Europe/Berlin"))
    first = midnight.astimezone(UTC)
    plans = []
    for hour in range(hours):
        moment = first + timedelta(hours=hour)
        clock(moment.year, moment.month, moment.day, moment.hour, 30)
        assert today_in(studio) == day
        plans.append(today_of(student, today_in(studio)).plan)
    assert all(plan == plans[0] for plan in plans)


@pytest.mark.parametrize("day", [SPRING, AUTUMN])
def test_a_recheck_is_due_a_day_later_whether_that_has_23_hours_or_25(day):
    assert due_on([Review(day - timedelta(days=1), Rating.Hard)]) == day
    assert due_on([Review(day, Rating.Hard)]) == day + timedelta(days=1)


def test_mastered_late_on_the_long_day_is_played_cold_on_the_next(clock, student_client, student):
    """At 23:30 in Berlin it is 22:30 in UTC; the next day begins half an hour later."""
    clock(2026, 10, 25, 22, 30)
    fill = first_fill(give(student, 1))
    student_client.post(reverse("assignments:master", args=[fill.pk]))
    assert MasteryEvent.objects.get().day == AUTUMN
    clock(2026, 10, 25, 23, 30)
    parts = [line.item.part for line in student_client.get(TODAY).context["today"].lines]
    assert PlanPart.CHECK in parts


def test_an_entry_may_be_changed_until_midnight_in_the_studio(clock, student, studio):
    student.studio = studio
    entry = logged(student, 5, SPRING)
    PracticeEntry.objects.update(created_at=datetime(2026, 3, 28, 23, 10, tzinfo=UTC))
    entry.refresh_from_db()
    entry.student = student
    clock(2026, 3, 29, 21, 59)
    assert may_change(entry, today_in(studio))
    clock(2026, 3, 29, 22, 0)
    assert not may_change(entry, today_in(studio))


def test_tomorrow_in_the_studio_is_refused_though_it_is_today_in_utc(
    clock, student_client, student, studio
):
    """At 20:30 on Saturday in New York it is Sunday in UTC already."""
    studio.timezone = "America/New_York"
    studio.save()
    fill = first_fill(give(student, 1))
    clock(2026, 3, 8, 0, 30)
    typed = {"minutes": "5", "day": "2026-03-08"}
    response = student_client.post(reverse("assignments:log", args=[fill.pk]), typed)
    assert "has not come yet" in str(response.context["form"].errors["day"])


@given(st.sampled_from(ZONES), st.integers(0, 365 * 24 * 2))
def test_every_half_hour_of_the_year_has_the_day_that_its_clock_shows(zone, half_hours):
    """Against the standard library's own wall clock."""
    moment = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(minutes=30 * half_hours)
    place = Studio(name="Any", timezone=zone)
    with mock.patch("django.utils.timezone.now", return_value=moment):
        assert today_in(place).isoformat() == f"{moment.astimezone(ZoneInfo(zone)):%Y-%m-%d}"
