"""The demo, filled from nothing by its own command, once for all tests that look at it."""

import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple
from urllib.error import URLError
from urllib.request import urlopen

import pytest
from django.conf import settings


class Served(NamedTuple):
    """A demo that is being served: where, what it printed, and what it filled."""

    address: str
    output: str
    database: Path
    media: Path


def free_port() -> int:
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return listener.getsockname()[1]


def answers(address: str) -> bool:
    try:
        with urlopen(address, timeout=10):
            return True
    except (URLError, TimeoutError):
        return False


@pytest.fixture(scope="session")
def served(tmp_path_factory) -> Iterator[Served]:
    """A demo on a database that was not there before."""
    folder, address = tmp_path_factory.mktemp("served"), f"http://127.0.0.1:{free_port()}"
    printed, database, media = folder / "printed", folder / "demo.sqlite3", folder / "media"
    own = {
        "DATABASE_URL": f"sqlite:///{database}",
        "MEDIA_ROOT": str(media),
        "DEBUG": "true",
        "REDIS_URL": "",
    }
    with printed.open("w") as output:
        demo = subprocess.Popen(
            [sys.executable, "manage.py", "demo", "--port", address.rpartition(":")[2]],
            cwd=settings.BASE_DIR,
            env={**os.environ, **own},
            stdout=output,
            stderr=subprocess.DEVNULL,
        )
    try:
        while not answers(f"{address}/"):
            assert demo.poll() is None, f"the demo has ended: {printed.read_text()}"
            time.sleep(0.2)
        yield Served(address, printed.read_text(), database, media)
    finally:
        demo.terminate()
        demo.wait()
