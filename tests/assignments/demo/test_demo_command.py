"""What the demo refuses, and that it serves what it filled."""

import socket
from io import StringIO
from urllib.request import urlopen

import pytest
from django.core.management import CommandError, call_command

from studio.models import Teacher


def read(address: str) -> str:
    with urlopen(address, timeout=10) as answer:
        return answer.read().decode()


def test_the_demo_serves_pages_with_their_styles_from_an_empty_database(served):
    assert "Fillwright" in read(f"{served.address}/sign-in/")
    assert "--paper" in read(f"{served.address}/static/css/tokens.css")


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
