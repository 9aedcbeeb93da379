"""A live server for browsers: sounds and engravings made once; its end waits for its answers."""

import os
import threading
from collections.abc import Iterator
from fcntl import LOCK_EX, flock
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command
from django.core.servers.basehttp import WSGIRequestHandler
from django.core.signals import request_finished, request_started
from django.test import override_settings

from rhythms.models import Rendering
from rhythms.renderings import rendering_maker
from rhythms.sounds.sound_files import FOLDER

# The parts of an answer need not wait 40 ms for one another to be acknowledged.
WSGIRequestHandler.disable_nagle_algorithm = True


@pytest.fixture(scope="session")
def sounds_of_all_tests(tmp_path_factory) -> Path:
    """Where they are, for all processes of a run."""
    place = tmp_path_factory.getbasetemp()
    folder = (place.parent if "PYTEST_XDIST_WORKER" in os.environ else place) / FOLDER
    folder.mkdir(exist_ok=True)
    return folder


@pytest.fixture(scope="session")
def all_sounds(sounds_of_all_tests) -> None:
    """Have them made, by the first process that asks: a device that copies all need not wait."""
    with sounds_of_all_tests.with_suffix(".lock").open("w") as lock:
        flock(lock, LOCK_EX)
        with override_settings(MEDIA_ROOT=sounds_of_all_tests.parent):
            call_command("sounds", stdout=StringIO())


@pytest.fixture
def same_sounds(sounds_of_all_tests, settings) -> None:
    """The kit's sounds are made once: each device of each test loads them all."""
    settings.MEDIA_ROOT.mkdir()
    (settings.MEDIA_ROOT / FOLDER).symlink_to(sounds_of_all_tests)


@pytest.fixture(scope="session")
def drawings_of_all_tests() -> dict[str, bytes]:
    return {}


@pytest.fixture
def same_drawings(drawings_of_all_tests, monkeypatch) -> None:
    """An engraving is made once, by the engraver: its key says what it shows."""
    draw = rendering_maker.draw

    def draw_once(rendering: Rendering) -> bytes:
        if rendering.format != "svg":
            return draw(rendering)
        if rendering.key not in drawings_of_all_tests:
            drawings_of_all_tests[rendering.key] = draw(rendering)
        return drawings_of_all_tests[rendering.key]

    monkeypatch.setattr(rendering_maker, "draw", draw_once)


class InFlight:
    """How many requests the live server is answering."""

    def __init__(self) -> None:
        self.number = 0
        self.changed = threading.Condition()

    def started(self, **_) -> None:
        self._add(1)

    def finished(self, **_) -> None:
        self._add(-1)

    def _add(self, number: int) -> None:
        with self.changed:
            self.number += number
            self.changed.notify_all()

    def wait(self) -> None:
        with self.changed:
            self.changed.wait_for(lambda: self.number <= 0, timeout=10)


@pytest.fixture
def all_answered(live_server) -> Iterator[None]:
    """Wait at the end for what the server still answers to a browser that has gone.

    The tables are emptied then, and on PostgreSQL whoever reads one waits for the other.
    """
    in_flight = InFlight()
    request_started.connect(in_flight.started)
    request_finished.connect(in_flight.finished)
    yield
    in_flight.wait()
    request_started.disconnect(in_flight.started)
    request_finished.disconnect(in_flight.finished)
