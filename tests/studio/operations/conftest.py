"""A Redis of the tests' own, as shared cache and broker: there, or gone."""

import pytest
from django.conf import settings as django_settings
from django.core.cache import cache

from studio import fallback_cache, task_queue
from studio.celery import app as celery_app
from tests import services


@pytest.fixture(scope="module")
def redis_of_module(tmp_path_factory):
    with services.redis(tmp_path_factory.mktemp("redis")) as server:
        yield server


@pytest.fixture
def _asks_redis(redis_of_module, settings):
    backend = "studio.fallback_cache.FallbackCache"
    settings.CACHES = {"default": {"BACKEND": backend, "LOCATION": redis_of_module.url}}
    celery_app.conf.update(broker_url=redis_of_module.url, task_always_eager=False)
    forget_failures()
    cache.local.clear()
    yield
    celery_app.conf.update(broker_url=django_settings.CELERY_BROKER_URL, task_always_eager=True)
    for breaker in (fallback_cache.breaker, task_queue.breaker):
        breaker.note_success()


@pytest.fixture
def redis(redis_of_module, _asks_redis):
    """It is there when the test begins, and empty."""
    redis_of_module.kill()
    redis_of_module.start()
    return redis_of_module


@pytest.fixture
def no_redis(redis_of_module, _asks_redis, django_capture_on_commit_callbacks):
    """It is away while the test runs; what waits for the end of a transaction is done after it."""
    redis_of_module.kill()
    with django_capture_on_commit_callbacks(execute=True):
        yield


def forget_failures() -> None:
    """As after a while: what was away is asked again."""
    for breaker in (fallback_cache.breaker, task_queue.breaker):
        breaker.rest_is_over()
