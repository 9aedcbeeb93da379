"""Moments in the past: what the demo does today was done weeks ago."""

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db import models
from django.utils import timezone

LESSON = time(16)
EVENING = time(18)


def moment(day: date, at: time, zone: ZoneInfo, minute: int = 0) -> datetime:
    """Return this time of the day, so many minutes on; now, where that has not come yet."""
    then = datetime.combine(day, at, tzinfo=zone) + timedelta(minutes=minute)
    return min(then, timezone.now())


def backdate(thing: models.Model, **moments: datetime) -> None:
    """Write moments that a model sets by itself when it is saved."""
    type(thing)._default_manager.filter(pk=thing.pk).update(**moments)
