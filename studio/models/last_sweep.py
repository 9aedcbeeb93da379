"""When the sweeps were last asked for: by the beat, or by a page where there is no beat."""

from datetime import timedelta

from django.db import models
from django.utils import timezone

from studio.elapsed import long_ago

_THE_ONLY = 1


class LastSweep(models.Model):
    """One row, so that of all processes one asks."""

    at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M}"

    @classmethod
    def claim(cls, after: timedelta) -> bool:
        """Whether the last one was longer ago than that; if so, this one counts as the last.

        A clock that was set back does not put it off for ever.
        """
        now = timezone.now()
        if cls.objects.filter(long_ago("at", after), pk=_THE_ONLY).update(at=now):
            return True
        return cls.objects.get_or_create(pk=_THE_ONLY, defaults={"at": now})[1]
