"""Template filters: numbers, days, shares and lengths as a teacher would say them."""

from datetime import date, datetime
from decimal import Decimal

from django import template
from django.utils import timezone

from assignments import text
from assignments.models import PracticeEntry
from rhythms.engine.comfort.variety_estimate import Estimate

register = template.Library()


@register.filter
def grouped(number: int) -> str:
    """`16777216` as `16,777,216`."""
    return f"{number:,}"


@register.filter
def minutes(amount: Decimal | int) -> str:
    """`5 min`."""
    return text.minutes(amount)


@register.filter
def plain(amount: Decimal | int) -> str:
    """`2.5`, `5`."""
    return text.plain(amount)


@register.filter
def ago(day: date | None) -> str:
    """`3 days ago`, by the clock of the studio."""
    return text.ago(day, timezone.localdate())


@register.filter
def times(number: int) -> str:
    """`once`, `twice`, `4 times`."""
    return text.times(number)


@register.filter
def is_today(moment: datetime) -> bool:
    """Whether it is still the day of that moment, by the clock of the studio."""
    return timezone.localdate(moment) == timezone.localdate()


@register.filter
def days(number: int) -> str:
    """`1 day`, `3 days`."""
    return text.count(number, "day")


@register.filter
def times_through(entry: PracticeEntry) -> str:
    """`4 of 5 clean`, `5 times through`, or nothing."""
    return text.times_through(entry.snapshot)


@register.filter
def entry_text(entry: dict) -> str:
    """`5 min at 88, 4 of 5 clean`: an entry as it is kept in its changes."""
    return text.practised(entry)


@register.filter
def still_ahead(day: date | None) -> bool:
    """Whether the day is today or later: to a student no past date is a debt."""
    return day is not None and day >= timezone.localdate()


@register.filter
def due(day: date) -> str:
    """`due Thursday`, by the clock of the studio."""
    return text.due(day, timezone.localdate())


@register.filter
def percent(share: float) -> str:
    """`0.834` as `83 %`; what is there is never `0 %`."""
    return f"{max(1, round(100 * share)) if share else 0} %"


@register.filter
def one_place(number: float) -> str:
    """`1.43` as `1.4`."""
    return f"{number:.1f}"


@register.filter
def between(estimate: Estimate) -> str:
    """`1.3 to 1.6`: where it lies, with 95 %."""
    return f"{estimate.low:.1f} to {estimate.high:.1f}"


@register.filter
def in_minutes(seconds: float) -> str:
    """`12 min`; what is shorter is `1 min`."""
    return f"{max(1, round(seconds / 60))} min"
