"""What the demo refuses, and that it serves what it filled."""

import os
import socket
import subprocess
import sys
import time
from io import StringIO
from urllib.error import URLError
from urllib.request import urlopen

import pytest
from django.conf import settings as django_settings
from django.core.management import CommandError, call_command

from studio.models import Teacher


def free_port() -> int:
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return listener.getsockname()[1]


def read(address: str) -> str:
    with urlopen(address, timeout=10) as answer:
        return answer.read().decode()


@pytest.fixture
def served(tmp_path):
    """The address of a demo on a database that was not there before."""
    port = free_port()
    own = {
        "DATABASE_URL": f"sqlite:///{tmp_path / 'demo.sqlite3'}",
        "MEDIA_ROOT": str(tmp_path / "media"),
        "DEBUG": "true",
        "REDIS_URL": "",
    }
    demo = subprocess.Popen(
        [sys.executable, "manage.py", "demo", "--port", str(port)],
        cwd=django_settings.BASE_DIR,
        env={**os.environ, **own},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        while True:
            assert demo.poll() is None, "the demo has ended"
            try:
                read(f"http://127.0.0.1:{port}/")
            except URLError:
                time.sleep(0.2)
            else:
                break
        yield f"http://127.0.0.1:{port}"
    finally:
        demo.terminate()
        demo.wait()


def test_the_demo_serves_pages_with_their_styles_from_an_empty_database(served):
    assert "Fillwright" in read(f"{served}/sign-in/")
    assert "--paper" in read(f"{served}/static/css/tokens.css")


def test_the_demo_refuses_where_the_site_is_in_use(db, settings):
    settings.DEBUG = False
    with pytest.raises(CommandError, match="DEBUG"):
        call_command("demo", no_serve=True, stdout=StringIO())
    assert not Teacher.objects.exists()


def test_a_port_in_use_is_named_before_anything_is_filled(db, settings):
    settings.DEBUG = True
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(CommandError, match=f"Port {port} cannot be used"):
            call_command("demo", port=port, stdout=StringIO())
    assert not Teacher.objects.exists()


def test_an_impossible_port_is_refused(db, settings):
    settings.DEBUG = True
    with pytest.raises(CommandError, match="Port 99999 cannot be used"):
        call_command("demo", port=99999, stdout=StringIO())
