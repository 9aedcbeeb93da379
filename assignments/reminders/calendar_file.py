"""The reminder as a file for any calendar: iCalendar, RFC 5545."""

from collections.abc import Collection
from datetime import datetime, time, timedelta

from django.utils import timezone
from icalendar import Alarm, Calendar, Event

from assignments.days import DAY, WEEK
from studio.models import Student

WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
TITLE = "Five minutes at the kit"
_MINUTES = timedelta(minutes=5)


def calendar_file(student: Student, days: Collection[int], at: time, address: str) -> bytes:
    """Return an event at this time of these days (0: Monday), with an alarm, leading to `address`.

    From the next such moment on, by the clock on the student's wall (a floating time: section
    3.3.5, form 1), so that no calendar need know the studio's zone. A file made later stands for
    the same event: a calendar that knows it changes it.
    """
    now = timezone.now()
    event = Event()
    event.add("uid", f"practice-{student.pk}@{address.split('/')[2]}")
    event.add("dtstamp", now)
    event.add("dtstart", _first(now.astimezone(student.studio.zone).replace(tzinfo=None), days, at))
    event.add("duration", _MINUTES)
    event.add("rrule", {"freq": "weekly", "byday": [WEEKDAYS[day] for day in sorted(days)]})
    event.add("summary", TITLE)
    event.add("description", f"Your fills are ready: {address}")
    event.add("url", address)
    event.add("transp", "TRANSPARENT")
    event.add_component(_alarm())
    calendar = Calendar()
    calendar.add("prodid", "-//Fillwright//Reminder//EN")
    calendar.add("version", "2.0")
    calendar.add_component(event)
    written: bytes = calendar.to_ical()
    return written


def _first(now: datetime, days: Collection[int], at: time) -> datetime:
    """Return the next moment at that time on one of these days, by the clock of `now`."""
    moments = (datetime.combine(now.date() + ahead * DAY, at) for ahead in range(WEEK + 1))
    return next(moment for moment in moments if moment.weekday() in days and moment > now)


def _alarm() -> Alarm:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", TITLE)
    alarm.add("trigger", timedelta())
    return alarm
