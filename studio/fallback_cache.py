"""The shared cache, and in its place one of the process while Redis is away.

What was kept in one is not in the other; nothing that must last is in a cache alone. Sign-in
attempts are counted by each process for itself meanwhile.
"""

from collections.abc import Callable
from typing import Any

from django.core.cache.backends.locmem import LocMemCache
from django.core.cache.backends.redis import RedisCache
from redis.backoff import NoBackoff
from redis.exceptions import ConnectionError as RedisConnectionError
from redis.exceptions import RedisError
from redis.retry import Retry

from studio.circuit_breaker import CircuitBreaker

#: Seconds. A cache that takes longer saves nobody any time.
_TIMEOUTS = {"socket_connect_timeout": 0.5, "socket_timeout": 1.0}

breaker = CircuitBreaker("shared cache")


def _in_redis_or_here(name: str) -> Callable[..., Any]:
    def method(self: "FallbackCache", *args: Any, **kwargs: Any) -> Any:
        if not breaker.is_open:
            try:
                answer = getattr(RedisCache, name)(self, *args, **kwargs)
            except RedisError as error:
                breaker.note_failure(error)
            else:
                breaker.note_success()
                return answer
        return getattr(self.local, name)(*args, **kwargs)

    return method


class FallbackCache(RedisCache):
    """Django's Redis cache; never raises RedisError. `LOCAL_OPTIONS`: of the one of the process."""

    def __init__(self, server: str, params: dict[str, Any]) -> None:
        # A connection that Redis closed when it was started anew is made again at once.
        once_more = Retry(NoBackoff(), 1, supported_errors=(RedisConnectionError,))
        options = {**_TIMEOUTS, "retry": once_more, **params.get("OPTIONS", {})}
        super().__init__(server, {**params, "OPTIONS": options})
        self.local = LocMemCache(server, {**params, "OPTIONS": params.get("LOCAL_OPTIONS", {})})

    add = _in_redis_or_here("add")
    clear = _in_redis_or_here("clear")
    delete = _in_redis_or_here("delete")
    delete_many = _in_redis_or_here("delete_many")
    get = _in_redis_or_here("get")
    get_many = _in_redis_or_here("get_many")
    has_key = _in_redis_or_here("has_key")
    incr = _in_redis_or_here("incr")
    set = _in_redis_or_here("set")
    set_many = _in_redis_or_here("set_many")
    touch = _in_redis_or_here("touch")
