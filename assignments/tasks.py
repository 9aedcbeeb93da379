"""Where Celery finds the worker's jobs of this app."""

from assignments.comfort.tasks import (
    refresh_comfort_zone,
    refresh_comfort_zones,
    refresh_studio,
)
from assignments.reminders.tasks import send_reminder, send_reminders
from assignments.takes.tasks import analyse_take, sweep_takes

__all__ = [
    "analyse_take",
    "refresh_comfort_zone",
    "refresh_comfort_zones",
    "refresh_studio",
    "send_reminder",
    "send_reminders",
    "sweep_takes",
]
