"""Workers say that they are there, queue by queue, in the shared cache.

What was said is forgotten by itself after a minute, so that no clock is compared with another.
"""

from typing import Any

from celery import bootsteps
from django.conf import settings
from django.core.cache import cache

#: Seconds.
EVERY, FORGOTTEN_AFTER = 20, 60


class Heartbeat(bootsteps.StartStopStep):
    """A part of the worker's event loop: what does not turn any more is not heard."""

    requires = {"celery.worker.consumer.tasks:Tasks"}

    def __init__(self, parent: Any, **options: Any) -> None:
        super().__init__(parent, **options)
        self.timer: Any = None

    def start(self, parent: Any) -> None:
        queues = list(parent.app.amqp.queues.consume_from)
        note_heard(queues)
        self.timer = parent.timer.call_repeatedly(EVERY, note_heard, (queues,))

    def stop(self, parent: Any) -> None:
        if self.timer is not None:
            self.timer.cancel()
            self.timer = None


def note_heard(queues: list[str]) -> None:
    """Note that a worker of these queues is there."""
    cache.set_many({_key(queue): True for queue in queues}, FORGOTTEN_AFTER)


def unheard() -> list[str]:
    """Return the queues of tasks whose worker was not heard of for a minute."""
    queues = _queues_of_tasks()
    heard = cache.get_many(_key(queue) for queue in queues)
    return [queue for queue in queues if _key(queue) not in heard]


def _queues_of_tasks() -> list[str]:
    routes = getattr(settings, "CELERY_TASK_ROUTES", {})
    return sorted({route["queue"] for route in routes.values()}) or ["celery"]


def _key(queue: str) -> str:
    return f"worker-heard-{queue}"
