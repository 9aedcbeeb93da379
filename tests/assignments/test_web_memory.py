"""`manage.py web_memory` opens pages as people do, and leaves nothing behind."""

import pytest
from django.contrib.sessions.models import Session
from django.core.management import CommandError, call_command

from studio.models import SignInLink


def test_it_tells_what_a_web_process_holds(assignment, capsys):
    call_command("web_memory")
    told = capsys.readouterr().out.splitlines()
    assert [line.split(" MB ")[1].split(",")[0] for line in told] == [
        "after its start",
        "after 9 ordinary pages",
    ]


def test_nobody_was_signed_in_afterwards(assignment, capsys):
    call_command("web_memory")
    assert not Session.objects.exists()
    assert not SignInLink.objects.exists()


def test_an_empty_studio_is_told_how_to_fill_it(db):
    with pytest.raises(CommandError, match="demo --no-serve"):
        call_command("web_memory")
