"""Template filters: numbers and days as a teacher would say them."""

from datetime import date, datetime
from decimal import Decimal

from django import template
from django.utils import timezone

from assignments import words
from assignments.models import PracticeEntry
from assignments.planner.plan import Part
from assignments.run import TITLES

register = template.Library()


@register.filter
def grouped(number: int) -> str:
    """`16777216` as `16,777,216`."""
    return f"{number:,}"


@register.filter
def minutes(amount: Decimal | int) -> str:
    """`5 min`."""
    return words.minutes(amount)


@register.filter
def plain(amount: Decimal | int) -> str:
    """`2.5`, `5`."""
    return words.plain(amount)


@register.filter
def ago(day: date | None) -> str:
    """`3 days ago`, by the clock of the studio."""
    return words.ago(day, timezone.localdate())


@register.filter
def times(number: int) -> str:
    """`once`, `twice`, `4 times`."""
    return words.times(number)


@register.filter
def is_today(moment: datetime) -> bool:
    """Whether it is still the day of that moment, by the clock of the studio."""
    return timezone.localdate(moment) == timezone.localdate()


@register.filter
def days(number: int) -> str:
    """`1 day`, `3 days`."""
    return words.count(number, "day")


@register.filter
def part_title(part: Part) -> str:
    """`New today`: what an item of the plan is there for."""
    return TITLES[part]


@register.filter
def times_through(entry: PracticeEntry) -> str:
    """`4 of 5 clean`, `5 times through`, or nothing."""
    return words.times_through(entry.said)


@register.filter
def entry_said(entry: dict) -> str:
    """`5 min at 88, 4 of 5 clean`: an entry as it is kept in its changes."""
    return words.practised(entry)


@register.filter
def due(day: date) -> str:
    """`due Thursday`, by the clock of the studio."""
    return words.due(day, timezone.localdate())
