"""How each part of a running studio is, cheaply enough to be asked every few seconds."""

import os
import shutil
from pathlib import Path

from django.conf import settings
from django.db import DatabaseError, connection
from redis import Redis, RedisError

from studio.operations.heartbeat import unheard

OK, AWAY, UNUSED = "ok", "away", "not used"
#: Without these no page can be served; what else is away makes some things wait.
NEEDED = ("process", "database")
#: With less room than this, in bytes, it is time to look.
_LITTLE_ROOM = 500_000_000


def parts() -> dict[str, str]:
    """Return each part's state: "ok", "not used", or what is wrong with it."""
    broker = _broker()
    return {
        "process": OK,
        "database": _database(),
        "broker": broker,
        "worker": _worker(broker),
        "disk": _disk(),
    }


def can_serve(states: dict[str, str]) -> bool:
    return all(states[part] == OK for part in NEEDED)


def is_sound(states: dict[str, str]) -> bool:
    return all(state in (OK, UNUSED) for state in states.values())


def media_folder() -> Path:
    """MEDIA_ROOT, or the folder in which it will be made."""
    folder = Path(settings.MEDIA_ROOT).resolve()
    return next(place for place in (folder, *folder.parents) if place.is_dir())


def _database() -> str:
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except DatabaseError:
        return AWAY
    return OK


def _broker() -> str:
    if not settings.REDIS_URL:
        return UNUSED
    try:
        with Redis.from_url(
            settings.REDIS_URL, socket_connect_timeout=0.5, socket_timeout=1, retry=None
        ) as client:
            client.ping()
    except RedisError:
        return AWAY
    return OK


def _worker(broker: str) -> str:
    if broker != OK:
        return broker
    silent = unheard()
    return f"not heard of for a minute: {', '.join(silent)}" if silent else OK


def _disk() -> str:
    folder = media_folder()
    if not os.access(folder, os.W_OK):
        return "not writable"
    return OK if shutil.disk_usage(folder).free >= _LITTLE_ROOM else "nearly full"
