"""Where there is no beat, a page asks for the sweeps, once its answer is sent.

Each process looks at most once an hour, and of all processes one asks.
"""

import logging
from collections.abc import Callable
from time import monotonic
from typing import Any

from django.conf import settings
from django.db import DatabaseError

from studio.models import LastSweep
from studio.sweeping import EVERY

logger = logging.getLogger(__name__)

#: A beat that is there has asked by then.
WITHOUT_A_BEAT = 2 * EVERY


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
