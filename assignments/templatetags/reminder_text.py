"""Words of a reminder."""

from django import template

from assignments import text
from assignments.models import Reminder
from studio.models import Student

register = template.Library()
_ALL = len(Student.Weekday)


@register.filter
def when_reminded(reminder: Reminder) -> str:
    """`every day at 17:00`, `Monday and Thursday at 17:00`, by the clock of the studio."""
    names = [str(Student.Weekday(int(day)).label) for day in reminder.days]
    days = "every day" if len(names) == _ALL else text.listed(names)
    return f"{days} at {reminder.at:%H:%M}"
