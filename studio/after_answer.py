"""What a request sets going and nobody waits for, once its answer is sent.

For what a worker would do, where there is none: whoever sends a take need not wait until the
habits that it is part of are worked out. Outside a request it is done at once.
"""

import logging
from collections.abc import Callable
from contextvars import ContextVar
from typing import Any

logger = logging.getLogger(__name__)

_waiting: ContextVar[list[Callable[[], object]] | None] = ContextVar("waiting", default=None)


def after_answer(work: Callable[[], object]) -> None:
    """Do it once the answer to the request is sent; at once where there is no request."""
    waiting = _waiting.get()
    if waiting is None:
        work()
    else:
        waiting.append(work)


def begin_request(**_: Any) -> None:
    """From now on there is a request (a receiver of `request_started`)."""
    _waiting.set([])


def finish_request(**_: Any) -> None:
    """Do what waited (a receiver of `request_finished`); one that fails stops no other."""
    waiting = _waiting.get()
    _waiting.set(None)
    for work in waiting or ():
        try:
            work()
        except Exception:
            logger.exception("What was to be done after an answer failed")
