"""What is swept out once in a while. Whoever has something to sweep registers it, and how often:

    register_sweep("studio.sweeping.discard_expired_sessions")
    register_sweep("assignments.tasks.sweep_takes", OFTEN)

The beat asks for each in its time; without a beat, `studio.beside_pages` asks for all.
"""

from datetime import timedelta
from importlib import import_module
from typing import Any

from django.conf import settings
from django.utils.module_loading import import_string

#: The task that sweeps by one of them.
TASK = "studio.tasks.sweep"
_sweeps: dict[str, timedelta] = {}
EVERY = timedelta(hours=1)
#: Where somebody waits for what got lost.
OFTEN = timedelta(minutes=5)


def register_sweep(path: str, every: timedelta = EVERY) -> None:
    """Have this function swept by too, named by its path: a web process need not import it.

    It may run twice, or be cut off, without harm.
    """
    _sweeps[path] = every


def registered() -> list[str]:
    """The paths of all that sweeps."""
    return list(_sweeps)


def beat_schedule() -> dict[str, dict[str, Any]]:
    """All that sweeps, as entries of Celery's `beat_schedule`."""
    return {
        path: {"task": TASK, "args": (path,), "schedule": every} for path, every in _sweeps.items()
    }


def run(path: str) -> None:
    """Sweep by one of them; nothing where another version alone has it."""
    if path in _sweeps:
        import_string(path)()


def discard_expired_sessions() -> None:
    """Forget sessions with which nobody is signed in any more."""
    import_module(settings.SESSION_ENGINE).SessionStore.clear_expired()
