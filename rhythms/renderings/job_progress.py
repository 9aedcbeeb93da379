"""How far the worker is with something: kept in the cache, since it is worth nothing later."""

from typing import NamedTuple

from django.core.cache import cache

_SECONDS_KEPT = 600


class Progress(NamedTuple):
    """So many steps done, of how many."""

    done: int
    of: int


def set_progress(key: str, done: int, of: int) -> None:
    """Keep how far the making of `key` is."""
    cache.set(_name(key), (done, of), _SECONDS_KEPT)


def get_progress(key: str) -> Progress | None:
    """Return how far it is, or None where no progress was reported."""
    steps = cache.get(_name(key))
    return Progress(*steps) if steps else None


def _name(key: str) -> str:
    return f"progress of {key}".replace(" ", "-")
