"""Telling the worker what to do, once the transaction that asks for it is through."""

from collections.abc import Collection, Iterable
from functools import partial

from celery import Task, current_app
from django.db import transaction
from kombu.exceptions import OperationalError

from studio.after_answer import after_answer
from studio.circuit_breaker import CircuitBreaker

#: A page does not wait for a broker that is away, nor asks one that hangs four times; seconds. A
#: connection that is new needs no look at its health.
_AT_ONCE = {
    "max_retries": 0,
    "socket_connect_timeout": 0.5,
    "socket_timeout": 1.0,
    "retry_on_timeout": False,
    "health_check_interval": 0,
}

breaker = CircuitBreaker("broker")


def enqueue_on_commit(task: Task, keys: Iterable[object]) -> None:
    """Have `task` run for each key, as text, on commit.

    A broker that is away breaks no page: what it did not take is swept up later.
    """
    keys = list(keys)

    # A function of its own: Django names it where it logs that a task run at once has failed.
    def enqueue_now() -> None:
        enqueue(task, keys)

    transaction.on_commit(enqueue_now, robust=True)


def enqueue_for_later(task: Task, keys: Collection[object]) -> None:
    """The same for what nobody waits for: without a worker it runs after the answer is sent."""
    if has_worker():
        enqueue(task, keys)
    else:
        after_answer(partial(enqueue, task, keys))


def enqueue(task: Task, keys: Collection[object]) -> None:
    """Have `task` run for each key, as text; does nothing where the broker is away."""
    if task.app.conf.task_always_eager:
        for key in keys:
            task.delay(str(key))
    elif keys and not breaker.is_open:
        try:
            _publish(task, keys)
        except OperationalError as error:
            breaker.note_failure(error)
        else:
            breaker.note_success()


def _publish(task: Task, keys: Iterable[object]) -> None:
    with task.app.connection(transport_options=_AT_ONCE) as connection:
        for key in keys:
            task.apply_async((str(key),), connection=connection, retry=False)


def has_worker() -> bool:
    """Whether tasks go to a worker; else each runs at once, in the process that asks for it."""
    return not current_app.conf.task_always_eager
