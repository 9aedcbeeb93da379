"""Whether a moment is long ago, also by a clock that was set back since.

What is dated later than now was kept by a clock that was ahead: to wait for it could take hours.
"""

from datetime import datetime, timedelta

from django.db.models import Q
from django.utils import timezone


def was_long_ago(moment: datetime, patience: timedelta) -> bool:
    """Whether more than `patience` lies between this moment and now."""
    return abs(timezone.now() - moment) > patience


def long_ago(field: str, patience: timedelta) -> Q:
    """The rows of which `was_long_ago` holds, by a field with a moment."""
    now = timezone.now()
    return Q(**{f"{field}__lt": now - patience}) | Q(**{f"{field}__gt": now + patience})
