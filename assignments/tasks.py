"""Where Celery finds the worker's jobs of this app."""

from assignments.comfort.tasks import refresh_comfort_zones
from assignments.takes.tasks import analyse_take, sweep_takes

__all__ = ["analyse_take", "refresh_comfort_zones", "sweep_takes"]
