"""Ends a worker that hears nothing any more, and a beat that stands still.

After Redis was away, a worker can be left connected and yet take nothing; its process runs, so no
supervisor starts it anew. What is sure: work waits in its queues, its hands are free, and nothing
is taken. Then the process ends, with an exit code that says so, and is started again.
"""

import logging
import os
from collections.abc import Callable, Sequence
from threading import Thread
from time import monotonic, sleep

from celery.beat import PersistentScheduler
from celery.signals import worker_ready
from celery.worker import state
from django.conf import settings
from redis import Redis, RedisError

from studio import sweeping

logger = logging.getLogger(__name__)

#: Seconds between two looks.
EVERY = 5
#: So long work may wait for hands that are free, and for hands that are full: longer than any
#: task may run.
DEAF_AFTER, STUCK_AFTER = 30, settings.CELERY_TASK_TIME_LIMIT + 60
#: So long a beat may go without looking at its schedule.
STILL_AFTER = 5 * settings.CELERY_BEAT_MAX_LOOP_INTERVAL
#: Of a process that failed inside (sysexits.h, EX_SOFTWARE).
EXIT_CODE = 70


class Patience:
    """How long nothing has gone on though something should."""

    def __init__(self, clock: Callable[[], float] = monotonic) -> None:
        self._clock = clock
        self._since = clock()
        self._last: object = None

    def waited(self, progress: object, should_go_on: bool) -> float:
        """Seconds since `progress` last changed, or since nothing had to go on."""
        if progress != self._last or not should_go_on:
            self._since, self._last = self._clock(), progress
        return self._clock() - self._since


class DeafWorkerWatch(Thread):
    """Looks at the queues by a connection of its own, beside the worker's event loop."""

    def __init__(self, redis_url: str, queues: Sequence[str]) -> None:
        super().__init__(name="deaf-worker-watch", daemon=True)
        self.queues = queues
        self.broker = Redis.from_url(redis_url, socket_timeout=5, socket_connect_timeout=5)
        self.patience = Patience()
        self.is_up = False
        worker_ready.connect(self.note_that_it_is_up)

    def note_that_it_is_up(self, **_: object) -> None:
        """Until then it may take its time, on a machine that is busy."""
        self.is_up = True

    def run(self) -> None:
        while True:
            sleep(EVERY)
            if self.is_deaf():
                _end("The worker takes nothing though work waits: it ends, to be started again")

    def is_deaf(self) -> bool:
        """Whether work has waited for too long. A broker that is away is not the worker's fault."""
        try:
            waiting = sum(int(self.broker.llen(queue)) for queue in self.queues)
        except RedisError:
            waiting = 0
        taken = sum(state.total_count.values())
        has_free_hands = self.is_up and not state.reserved_requests
        allowed = DEAF_AFTER if has_free_hands else STUCK_AFTER
        return self.patience.waited(taken, waiting > 0) > allowed


class WatchedScheduler(PersistentScheduler):
    """The beat's schedule, with all sweeps; a thread notices where nobody looks at it any more."""

    ticks = 0

    def setup_schedule(self) -> None:
        self.app.conf.beat_schedule = {**self.app.conf.beat_schedule, **sweeping.beat_schedule()}
        super().setup_schedule()
        Thread(target=self._watch, name="beat-watch", daemon=True).start()

    def tick(self, *args: object, **kwargs: object) -> float:
        self.ticks += 1
        self._mistrust_clocks_ahead()
        return float(super().tick(*args, **kwargs))

    def _mistrust_clocks_ahead(self) -> None:
        """What a clock that was ahead has sent counts as sent now, or it would rest for hours."""
        for entry in self.schedule.values():
            now = entry.default_now()
            if entry.last_run_at > now:
                entry.last_run_at = now
                self._heap = None  # in which the next turns are

    def _watch(self) -> None:
        patience = Patience()
        while patience.waited(self.ticks, should_go_on=True) <= STILL_AFTER:
            sleep(EVERY)
        _end("The beat stands still: it ends, to be started again")


def _end(words: str) -> None:
    """End the process from a thread: whatever holds up the others cannot hold this up."""
    logger.critical(words)
    logging.shutdown()
    os._exit(EXIT_CODE)
