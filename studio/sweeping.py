"""What is swept out once in a while. Whoever has something to sweep registers it:

    register_sweep("studio.sweeping.discard_expired_sessions")

The beat asks for all of it each hour. Where there is no beat, a page does, once its answer is
sent: each process looks at most once an hour, and of all processes one asks.
"""

import logging
from collections.abc import Callable
from datetime import timedelta
from importlib import import_module
from time import monotonic
from typing import Any

from django.conf import settings
from django.db import DatabaseError
from django.utils.module_loading import import_string

from studio.models import LastSweep

logger = logging.getLogger(__name__)

_sweeps: list[str] = []
EVERY = timedelta(hours=1)
#: A beat that is there has asked by then.
WITHOUT_A_BEAT = 2 * EVERY


def register_sweep(path: str) -> None:
    """Have this function swept by too, named by its path: a web process need not import it.

    It may run twice, or be cut off, without harm.
    """
    if path not in _sweeps:
        _sweeps.append(path)


def registered() -> list[str]:
    """The paths of all that sweeps."""
    return list(_sweeps)


def run(path: str) -> None:
    """Sweep by one of them; nothing where another version alone has it."""
    if path in _sweeps:
        import_string(path)()


def discard_expired_sessions() -> None:
    """Forget sessions with which nobody is signed in any more."""
    import_module(settings.SESSION_ENGINE).SessionStore.clear_expired()


class BesidePages:
    """Asks for the sweeps after a page (a receiver of `request_finished`)."""

    def __init__(self, ask: Callable[[], object]) -> None:
        self.ask = ask
        self.next_look = 0.0

    def __call__(self, **_: Any) -> None:
        if not settings.SWEEP_BESIDE_PAGES or monotonic() < self.next_look:
            return
        self.next_look = monotonic() + EVERY.total_seconds()
        try:
            if LastSweep.claim(WITHOUT_A_BEAT):
                self.ask()
        except DatabaseError:
            logger.warning("The sweeps were not asked for", exc_info=True)
