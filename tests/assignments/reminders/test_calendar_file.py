"""The calendar file, read by vobject, which is by other people, and held to RFC 5545."""

from datetime import datetime, time, timedelta
from types import SimpleNamespace
from zoneinfo import ZoneInfo

import pytest
import vobject
from hypothesis import given
from hypothesis import strategies as st

from assignments.reminders.calendar_file import calendar_file
from tests.thoroughness import examples

ADDRESS = "https://studio.example.org/today/"
BERLIN = ZoneInfo("Europe/Berlin")


def written(days=(0, 3), at=time(17), zone: ZoneInfo = BERLIN) -> bytes:
    student = SimpleNamespace(pk=7, nickname="Mira", studio=SimpleNamespace(zone=zone))
    return calendar_file(student, days, at, ADDRESS)


def read(**asked) -> vobject.base.Component:
    return vobject.readOne(written(**asked).decode())


def test_the_event_says_what_and_where():
    event = read().vevent
    assert event.summary.value == "Five minutes at the kit"
    assert event.url.value == ADDRESS
    assert ADDRESS in event.description.value


def test_it_rings_when_it_begins():
    event = read().vevent
    assert event.valarm.action.value == "DISPLAY"
    assert event.valarm.trigger.value == timedelta()
    assert event.duration.value == timedelta(minutes=5)


def test_it_takes_nobodys_time():
    assert read().vevent.transp.value == "TRANSPARENT"


def test_a_later_file_stands_for_the_same_event():
    assert read().vevent.uid.value == read(days=(5,), at=time(8)).vevent.uid.value


def test_it_names_nobody():
    assert b"Mira" not in written()


@pytest.mark.parametrize("name", ["Europe/Berlin", "Pacific/Kiritimati", "Pacific/Pago_Pago"])
def test_it_is_the_hour_on_the_wall_and_still_to_come(name):
    """A floating time (section 3.3.5), after the moment it is in the studio."""
    zone = ZoneInfo(name)
    first = read(days=range(7), zone=zone).vevent.dtstart.value
    now = datetime.now(zone).replace(tzinfo=None)
    assert first.tzinfo is None
    assert first.time() == time(17)
    assert timedelta() < first - now + timedelta(minutes=1) <= timedelta(days=1, minutes=1)


def test_lines_are_as_rfc_5545_has_them():
    """Section 3.1: at most 75 octets, ended by CRLF."""
    lines = written().split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert not any(b"\n" in line for line in lines)


@pytest.mark.parametrize("name", ["PRODID", "VERSION"])
def test_what_a_calendar_must_have_is_there_once(name):
    """Section 3.6: `prodid` and `version`, once each."""
    assert written().count(b"\r\n%s:" % name.encode()) == 1


@pytest.mark.parametrize("name", ["UID", "DTSTAMP", "DTSTART", "DURATION", "RRULE"])
def test_what_an_event_must_have_is_there_once(name):
    """Section 3.6.1; `duration` and `dtend` exclude each other."""
    event = written().partition(b"BEGIN:VEVENT")[2].partition(b"BEGIN:VALARM")[0]
    assert len([one for one in event.split(b"\r\n") if one.startswith(name.encode())]) == 1
    assert b"DTEND" not in event


@examples(80)
@given(
    st.sets(st.integers(0, 6), min_size=1),
    st.times().map(lambda at: at.replace(second=0, microsecond=0, tzinfo=None, fold=0)),
)
def test_it_comes_on_the_chosen_days_alone_from_the_next_on(days, at):
    event = read(days=days, at=at).vevent
    moments = event.getrruleset(addRDate=True)[:14]
    assert {moment.weekday() for moment in moments} == days
    first = event.dtstart.value
    assert first.weekday() in days
    ahead = first - datetime.now(BERLIN).replace(tzinfo=None)
    assert timedelta(minutes=-1) < ahead <= timedelta(days=8)
