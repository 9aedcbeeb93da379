"""Telling the worker what to do, once the transaction that asks for it is through."""

from collections.abc import Iterable

from celery import Task
from django.db import transaction


def enqueue_on_commit(task: Task, keys: Iterable[object]) -> None:
    """Have `task` run for each key, as text, on commit.

    A broker that is away breaks no page: what it did not take is swept up later.
    """
    keys = [str(key) for key in keys]

    # A function of its own: Django names it where it logs that the broker is away.
    def enqueue_now() -> None:
        for key in keys:
            task.delay(key)

    transaction.on_commit(enqueue_now, robust=True)
