"""Servers that tests start are real, and come back where and as they were."""

import psycopg
import pytest
from redis import Redis

from tests import services

pytestmark = pytest.mark.services


def test_a_killed_redis_comes_back_at_the_same_address(tmp_path):
    with services.redis(tmp_path) as server:
        server.kill()
        assert not server.is_running
        server.start()
        assert Redis.from_url(server.url).ping()


def test_a_killed_postgresql_still_has_what_was_committed():
    with services.postgresql() as server:
        with psycopg.connect(server.url) as connection:
            connection.execute("CREATE TABLE kept AS SELECT 7 AS number")
        server.kill()
        server.start()
        with psycopg.connect(server.url) as connection:
            assert connection.execute("SELECT number FROM kept").fetchone() == (7,)


def test_web_worker_and_beat_run_on_servers_of_their_own(tmp_path):
    with services.redis(tmp_path) as broker, services.postgresql() as database:
        addresses = {"DATABASE_URL": database.url, "REDIS_URL": broker.url}
        surroundings = services.environment(tmp_path, **addresses)
        services.manage(surroundings, "migrate")
        with (
            services.web(tmp_path, surroundings) as site,
            services.worker(tmp_path, surroundings) as worker,
            services.beat(tmp_path, surroundings),
        ):
            assert services.status_of(f"{site.url}sign-in/") == 200
            services.manage(
                surroundings, "shell", "-c", "from rhythms.tasks import sweep; sweep.delay()"
            )
            worker.wait_for_line("rhythms.tasks.sweep")
