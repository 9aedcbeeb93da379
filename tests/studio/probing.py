"""Tasks for tests in a worker of its own: sent through a broker, and seen in the worker's log."""

import re
import time
from collections.abc import Callable

from celery import Celery

from studio.task_routes import QUEUES
from tests.services import Service

#: The worker's app, and its tasks.
APP = "tests.probe_tasks"
NUDGE, NAP = "tests.nudge", "tests.nap"
#: Set it in the surroundings of a worker or a beat that is to lose patience soon.
IMPATIENT = "IMPATIENT"
#: Seconds within which everything is done: more than any machine needs.
WITHIN = 60


class Watched:
    """What a worker has done, by its log: of tasks of a name, or with an id."""

    def __init__(self, worker: Service) -> None:
        self.worker = worker

    def done(self, task: str) -> int:
        return self._count(rf"{re.escape(task)}\S* succeeded")

    def wait_until_begun(self, task: str) -> None:
        self._wait(lambda: self._count(rf"{re.escape(task)}\S* received"), f"{task} is not taken")

    def wait_until_done(self, task: str, more_than: int = 0) -> None:
        self._wait(lambda: self.done(task) > more_than, f"{task} is not done")

    def _count(self, what: str) -> int:
        return len(re.findall(what, self.worker.log.read_text()))

    def _wait(self, what: Callable[[], object], words: str) -> None:
        end = time.monotonic() + WITHIN
        while not what():
            assert time.monotonic() < end, words
            time.sleep(0.1)


def send(broker: Service, task: str, *arguments: object, queue: str) -> str:
    """Have something done, by a connection of its own; returns the task as logs name it."""
    with Celery(broker=broker.url, set_as_current=False) as sender:
        sender.conf.task_queues = QUEUES
        return f"{task}[{sender.send_task(task, arguments, queue=queue).id}]"
