"""Servers that tests start are real, and come back where and as they were."""

from contextlib import ExitStack

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


def test_no_child_of_a_killed_postgresql_outlives_it():
    """They have groups of their own, and would answer for a moment longer."""
    with services.postgresql() as server, ExitStack() as opened:
        connections = [opened.enter_context(psycopg.connect(server.url)) for _ in range(20)]
        children = [connection.info.backend_pid for connection in connections]
        assert all(map(services.is_running, children))
        server.kill()
        assert not any(map(services.is_running, children))
