"""A clock that goes on from a given moment.

A studio kept in a file stays as old as it was: its students played "yesterday", and whoever was
signed in still is. So whatever opens it must think that it is the day after.
"""

from datetime import UTC, datetime


def start_at(moment: datetime) -> None:
    """Have Django's clock go on from this moment; called before anything imports a model."""
    from django.utils import timezone

    ahead = moment - datetime.now(UTC)
    timezone.now = lambda: datetime.now(UTC) + ahead
