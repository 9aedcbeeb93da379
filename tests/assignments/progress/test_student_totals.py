"""Progress equals what one would count by hand, in every zone and on every day."""

from collections import defaultdict
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, given
from hypothesis import strategies as st

from assignments.days import days_up_to
from assignments.models import AssignedVariation, PracticeEntry
from assignments.practice.practice_log import confirm, mark_mastered
from assignments.progress.student_totals import (
    Tally,
    mastered_so_far,
    minutes_by_day,
    minutes_of_each,
    standings,
)
from tests.assignments.making import first_fill, give, logged
from tests.thoroughness import examples

pytestmark = pytest.mark.django_db
# The tables are emptied before each example.
emptied_each_time = examples(
    60, quick=20, suppress_health_check=[HealthCheck.function_scoped_fixture]
)

TODAY = date(2026, 11, 25)
FOUR_WEEKS = days_up_to(TODAY, 28)

#: Zones and days around their changes of clock: an hour is missing or comes twice.
CLOCK_CHANGES = {
    "Europe/Berlin": [date(2026, 3, 29), date(2026, 10, 25)],
    "America/New_York": [date(2026, 3, 8), date(2026, 11, 1)],
    "Australia/Lord_Howe": [date(2026, 4, 5), date(2026, 10, 4)],  # by half an hour
    "America/Santiago": [date(2026, 4, 5), date(2026, 9, 6)],  # at midnight
    "Pacific/Apia": [date(2026, 6, 1)],
}


@st.composite
def a_window(draw):
    """A zone and four weeks that hold one of its changes of clock."""
    zone = draw(st.sampled_from(sorted(CLOCK_CHANGES)))
    change = draw(st.sampled_from(CLOCK_CHANGES[zone]))
    last = change + timedelta(days=draw(st.integers(0, 27)))
    return ZoneInfo(zone), days_up_to(last, 28)


tenths = st.integers(1, 1800).map(lambda n: Decimal(n) / 10)


def log_line(days):
    """(whose, minutes, day, whether it was removed), also just outside the days."""
    around = st.integers(-3, len(days) + 2).map(lambda n: days[0] + timedelta(days=n))
    return st.tuples(st.integers(0, 1), tenths, around, st.booleans())


class TestAgainstBruteForce:
    @emptied_each_time
    @given(data=st.data())
    def test_minutes_of_each_day(self, student, classmate, data):
        PracticeEntry.objects.all().delete()
        pair, (_, days) = (student, classmate), data.draw(a_window())
        lines = data.draw(st.lists(log_line(days), max_size=40))
        for who, minutes, day, removed in lines:
            entry = logged(pair[who], minutes, day)
            if removed:
                entry.remove()
        by_hand = defaultdict(Decimal)
        for who, minutes, day, removed in lines:
            if not removed and day in days:
                by_hand[pair[who].pk, day] += minutes
        found = minutes_by_day(pair, days)
        assert {(pk, day): n for pk in found for day, n in found[pk].items()} == by_hand
        together = {pk: sum(found[pk].values()) for pk in found}
        assert minutes_of_each(pair, days) == together

    @emptied_each_time
    @given(data=st.data())
    def test_the_whole_and_the_last_day(self, student, data):
        PracticeEntry.objects.all().delete()
        _, days = data.draw(a_window())
        lines = data.draw(st.lists(log_line(days), max_size=40))
        for _, minutes, day, _ in lines:
            logged(student, minutes, day)
        (standing,) = standings([student], days)
        assert standing.total == sum(n for _, n, day, _ in lines if day in days)
        assert standing.days_practised == len({day for _, _, day, _ in lines if day in days})
        assert standing.last_practised == max((day for _, _, day, _ in lines), default=None)

    @emptied_each_time
    @given(data=st.data())
    def test_mastered_by_the_end_of_each_day(self, student, data):
        if not AssignedVariation.objects.exists():
            give(student, 8)
        zone, days = data.draw(a_window())
        start = datetime(days[0].year, days[0].month, days[0].day, tzinfo=UTC)
        quarter_hours = st.none() | st.integers(-200, 28 * 96 + 200)
        moments = [
            n if n is None else start + timedelta(minutes=15 * n)
            for n in data.draw(st.lists(quarter_hours, min_size=8, max_size=8))
        ]
        for position, moment in enumerate(moments, start=1):
            AssignedVariation.objects.filter(position=position).update(mastered_at=moment)
        local_days = [moment.astimezone(zone).date() for moment in moments if moment]
        by_hand = tuple(sum(1 for on in local_days if on <= day) for day in days)
        assert mastered_so_far([student], days, zone) == by_hand


def test_an_entry_counts_on_its_day_though_the_clock_changed(student):
    """25 October 2026 has 25 hours in Berlin; entries carry their day, not a moment."""
    logged(student, 5, date(2026, 10, 25))
    (standing,) = standings([student], days_up_to(date(2026, 10, 26), 3))
    assert standing.minutes == (0, 5, 0)


def test_many_tenths_add_up_exactly(student):
    for _ in range(30):
        logged(student, "0.1", TODAY)
    (standing,) = standings([student], [TODAY])
    assert standing.total == 3


def test_removed_fills_do_not_count(student):
    assignment = give(student, 3)
    first_fill(assignment).remove()
    give(student, 2, seed=7).remove()
    (standing,) = standings([student], [TODAY])
    assert standing.tally == Tally(assigned=2, mastered=0)


def test_who_has_nothing_stands_at_nothing(student):
    (standing,) = standings([student], FOUR_WEEKS)
    assert (standing.total, standing.last_practised, standing.tally) == (0, None, Tally())


def test_the_order_is_the_one_asked_for(student, classmate):
    asked = [student, classmate]
    assert [standing.student for standing in standings(asked, FOUR_WEEKS)] == asked


def test_three_queries_for_any_number_of_students(student, classmate, django_assert_num_queries):
    give(student)
    give(classmate)
    logged(student, 5, TODAY)
    with django_assert_num_queries(3):
        standings([student, classmate], FOUR_WEEKS)


def test_what_holds_is_counted_among_the_mastered(student, teacher):
    first, second, _ = give(student, 3).variations.order_by("position")
    mark_mastered(first)
    confirm(second, teacher)
    (standing,) = standings([student], [TODAY])
    assert standing.tally == Tally(assigned=3, mastered=2, holding=1)
