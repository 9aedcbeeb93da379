"""Where Celery finds the worker's jobs of this app."""

from assignments.comfort.tasks import look_at_comfort_zones
from assignments.takes.tasks import look_at, sweep_takes

__all__ = ["look_at", "look_at_comfort_zones", "sweep_takes"]
