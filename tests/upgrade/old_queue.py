"""Lets a worker of the code under test take messages that older code has left in the queue."""

import json
import os
import re
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime
from tempfile import TemporaryFile

import redis
from celery import signals
from celery.contrib.testing.worker import start_worker
from django.conf import settings
from django.utils import timezone

from studio.celery import app
from studio.task_routes import QUEUES

QUEUE = "celery"
#: Seconds; more than any machine needs, so that a lost message ends the wait.
PATIENCE = 60
_ENDED = re.compile(r"Task (\S+)\[([\w-]+)\] (succeeded|raised)")
_UNKNOWN = "Received unregistered task"
#: By the id of a message: the name under which it ran, and how it ended.
Ended = dict[str, tuple[str, str]]


def taken(messages: Sequence[str]) -> list[dict[str, str]]:
    """Say for each message, as it lay in Redis, under which name it ran and how it ended.

    What the worker does not take to its end has ended as "".
    """
    take = _by_a_process if settings.REDIS_URL else _in_memory
    ended = take(messages)
    return [
        dict(zip(("task", "ran", "ended"), (name, *ended.get(pk, ("", ""))), strict=True))
        for pk, name in _ids(messages).items()
    ]


def _ids(messages: Sequence[str]) -> Mapping[str, str]:
    """The id of each message, and the name of its task."""
    headers = [json.loads(message)["headers"] for message in messages]
    return {one["id"]: one["task"] for one in headers}


def _wait_for(messages: Sequence[str], ended: Callable[[], Ended]) -> Ended:
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end and not ended().keys() >= _ids(messages).keys():
        time.sleep(0.05)
    return ended()


def _in_memory(messages: Sequence[str]) -> Ended:
    """The worker's own consumer, fed by a broker that lives in this process."""
    ended: Ended = {}

    def ran(task_id: str, task, state: str, **_) -> None:
        ended[task_id] = (task.name, "succeeded" if state == "SUCCESS" else state)

    def unknown(name: str, id: str, **_) -> None:
        ended[id] = (name, "unknown")

    signals.task_postrun.connect(ran)
    signals.task_unknown.connect(unknown)
    app.conf.task_always_eager = False
    with app.connection_for_write() as connection:
        connection.default_channel.queue_declare(QUEUE)
        for message in messages:
            connection.default_channel._put(QUEUE, json.loads(message))
        quietly = {"perform_ping_check": False, "loglevel": "ERROR"}
    with start_worker(app, pool="solo", shutdown_timeout=PATIENCE, **quietly):
        _wait_for(messages, lambda: dict(ended))
    app.conf.task_always_eager = True
    return ended


def _by_a_process(messages: Sequence[str]) -> Ended:
    """A worker as it is really run, on a Redis that is ours alone."""
    broker = redis.Redis.from_url(settings.REDIS_URL)
    for message in messages:
        broker.lpush(QUEUE, message)
    broker.close()
    ahead = (timezone.now() - datetime.now(UTC)).total_seconds()
    command = [sys.executable, "-m", "tests.upgrade.moved_worker", str(ahead)]
    with TemporaryFile() as log:
        worker = subprocess.Popen(command, stdout=log, stderr=log, env=_environment())

        def text() -> str:
            return os.pread(log.fileno(), 10_000_000, 0).decode()

        def ended() -> Ended:
            found = {match[2]: (match[1], match[3]) for match in _ENDED.finditer(text())}
            # Its line has no id: give up on all that is still to come.
            return dict.fromkeys(_ids(messages), ("", "")) | found if _UNKNOWN in text() else found

        try:
            found = _wait_for(messages, ended)
            _wait_until_idle()
            return found
        finally:
            worker.terminate()
            worker.wait()
            sys.stderr.write(text())


def _wait_until_idle() -> None:
    """Until the worker has done what pages asked for too, and nothing comes for a while."""
    end, idle = time.monotonic() + PATIENCE, 0
    with redis.Redis.from_url(settings.REDIS_URL) as broker:
        while time.monotonic() < end and idle < 20:
            busy = broker.hlen("unacked") or any(broker.llen(queue.name) for queue in QUEUES)
            idle = 0 if busy else idle + 1
            time.sleep(0.1)


def _environment() -> dict[str, str]:
    """A worker is told by a library that it runs as root: no failure."""
    return {name: value for name, value in os.environ.items() if name != "PYTHONWARNINGS"}
