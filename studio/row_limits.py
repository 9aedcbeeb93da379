"""How often something may be done in a time, counted by the rows that it left.

Rows are exact, and the same for every process and after a restart.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from django.utils import timezone

#: At most so many within each time.
Limits = Mapping[timedelta, int]


def allowed_again(latest_first: Sequence[datetime], limits: Limits) -> datetime | None:
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
