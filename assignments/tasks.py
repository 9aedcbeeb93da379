"""Where Celery finds the worker's jobs of this app."""

from assignments.comfort.tasks import (
    refresh_comfort_zone,
    refresh_comfort_zones,
    refresh_studio,
)
from assignments.takes.tasks import analyse_take, sweep_takes

__all__ = [
    "analyse_take",
    "refresh_comfort_zone",
    "refresh_comfort_zones",
    "refresh_studio",
    "sweep_takes",
]
