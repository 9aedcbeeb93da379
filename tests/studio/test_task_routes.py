"""Two queues: what somebody waits for on a page never stands behind what takes long."""

import pytest
from celery import Celery
from redis import Redis

from studio.celery import app
from studio.task_routes import OLD, QUICK, ROUTES, SLOW
from tests.probe_tasks import NAP, NUDGE
from tests.services import environment, redis, worker
from tests.studio.test_reconnecting import APP, Watched, send


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


@pytest.fixture
def broker(tmp_path):
    with redis(tmp_path) as broker:
        yield broker


@pytest.fixture
def surroundings(tmp_path, broker):
    return environment(tmp_path, REDIS_URL=broker.url)


@pytest.mark.services
def test_a_quick_task_does_not_wait_for_a_slow_one(tmp_path, broker, surroundings):
    with (
        worker(tmp_path, surroundings, QUICK, app=APP) as quick,
        worker(tmp_path, surroundings, SLOW, app=APP) as slow,
    ):
        long = send(broker, NAP, 30, queue=SLOW)
        Watched(slow).wait_until_begun(long)
        Watched(quick).wait_until_done(send(broker, NAP, 0, queue=QUICK))
        slow.kill()
        assert not Watched(slow).done(long)


@pytest.mark.services
def test_the_slow_worker_serves_what_an_older_version_left(tmp_path, broker, surroundings):
    with Celery(broker=broker.url, set_as_current=False) as before:  # knows no other queue
        left = before.send_task(NUDGE).id
    with Redis.from_url(broker.url) as client:
        assert client.llen(OLD) == 1
    with worker(tmp_path, surroundings, SLOW, app=APP) as served:
        Watched(served).wait_until_done(f"{NUDGE}[{left}]")
