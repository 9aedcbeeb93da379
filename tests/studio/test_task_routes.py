"""Two queues: what somebody waits for on a page never stands behind what takes long."""

from collections.abc import Iterator
from typing import NamedTuple

import pytest
from celery import Celery
from redis import Redis

from studio.celery import app
from studio.task_routes import OLD, QUICK, ROUTES, SLOW
from tests.services import Service, environment, redis, worker
from tests.studio.probing import APP, NAP, NUDGE, Watched, send


def tasks_of_the_site() -> set[str]:
    app.loader.import_default_modules()
    return {name for name in app.tasks if not name.startswith(("celery.", "tests."))}


def test_every_task_has_a_queue():
    assert set(ROUTES) == tasks_of_the_site()


def test_every_queue_of_a_task_is_served():
    assert {route["queue"] for route in ROUTES.values()} <= {QUICK, SLOW}


def test_what_somebody_waits_for_stands_behind_nothing_long():
    assert [task for task, route in ROUTES.items() if route["queue"] == QUICK] == [
        "rhythms.tasks.render",
        "studio.tasks.send_account_mail",
    ]


class Queues(NamedTuple):
    """A worker for each queue, and what lay in the queue of older code before they were started."""

    broker: Service
    quick: Service
    slow: Service
    left: str


@pytest.fixture(scope="module")
def queues(tmp_path_factory) -> Iterator[Queues]:
    folder = tmp_path_factory.mktemp("queues")
    with redis(folder) as broker:
        with Celery(broker=broker.url, set_as_current=False) as before:  # knows no other queue
            left = before.send_task(NUDGE).id
        with Redis.from_url(broker.url) as client:
            assert client.llen(OLD) == 1
        surroundings = environment(folder, REDIS_URL=broker.url)
        with (
            worker(folder, surroundings, QUICK, app=APP) as quick,
            worker(folder, surroundings, SLOW, app=APP, hands=2) as slow,
        ):
            yield Queues(broker, quick, slow, left)


@pytest.mark.services
def test_a_quick_task_does_not_wait_for_a_slow_one(queues):
    long = send(queues.broker, NAP, 1000, queue=SLOW)
    Watched(queues.slow).wait_until_begun(long)
    Watched(queues.quick).wait_until_done(send(queues.broker, NAP, 0, queue=QUICK))
    assert not Watched(queues.slow).done(long)


@pytest.mark.services
def test_the_slow_worker_serves_what_an_older_version_left(queues):
    Watched(queues.slow).wait_until_done(f"{NUDGE}[{queues.left}]")
