"""How often something may be done in a time, counted by the rows that it left.

Rows are exact, and the same for every process and after a restart.
"""

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from typing import TypeVar

from django.db.models import Model, QuerySet
from django.utils import timezone

#: At most so many within each time.
Limits = Mapping[timedelta, int]
Row = TypeVar("Row", bound=Model)


def counted(rows: QuerySet[Row], moment: str, limits: Limits) -> QuerySet[Row]:
    """The latest rows, by a field with a moment, that these limits look at; latest first.

    Those dated later than now would push out others, and count for nothing.
    """
    now = timezone.now()
    lately = rows.filter(**{f"{moment}__range": (now - max(limits), now)})
    return lately.order_by(f"-{moment}")[: max(limits.values())]


def allowed_again(latest_first: Iterable[datetime], limits: Limits) -> datetime | None:
    """When one more may be, after those at the times given; None where it may be now.

    What is dated later than now was kept by a clock that was ahead, and does not count.
    """
    now = timezone.now()
    times = [time for time in latest_first if time <= now]
    ends = [times[most - 1] + window for window, most in limits.items() if len(times) >= most]
    return max((end for end in ends if end > now), default=None)


def at_the_clock(moment: datetime) -> str:
    """`at 15:42`, `tomorrow at 07:10`, by the clock of who is asking; rounded up to a minute."""
    local = timezone.localtime(moment + timedelta(seconds=59))
    day = "" if local.date() == timezone.localdate() else "tomorrow "
    return f"{day}at {local:%H:%M}"
