"""`manage.py take_times` takes files in as people do, in a database of its own."""

from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from assignments.management.commands import take_times
from assignments.models import Take
from tests.rhythms.test_learning_from_drummers import write_fill, write_list


@pytest.fixture
def folder(tmp_path):
    for number in range(10):
        write_fill(tmp_path / f"{number}.mid", [38, 43, 38, 51] * 2, late=number)
    write_list(tmp_path, [("one", f"{number}.mid") for number in range(10)])
    return tmp_path


@pytest.fixture
def no_other_database(monkeypatch):
    """That of the tests stands for the one that the command would make."""
    monkeypatch.setattr(connection.creation, "create_test_db", lambda **_: None)
    monkeypatch.setattr(connection.creation, "destroy_test_db", lambda *_, **__: None)


@pytest.mark.django_db(transaction=True)
def test_it_prints_a_line_for_each_number_of_takes(folder, no_other_database, monkeypatch):
    monkeypatch.setattr(take_times, "_TIMES", 2)
    out = StringIO()
    call_command("take_times", folder, "--takes", "8", stdout=out)
    heading, line = out.getvalue().splitlines()
    assert heading.split() == ["takes", "zone", "at", "first", "upload", "zone", "again", "page"]
    assert line.split()[0] == "8"
    assert line.count(" s") == 4
    assert Take.objects.filter(state=Take.State.DONE).count() == 8 + 2


def test_a_folder_without_a_list_is_refused(tmp_path):
    with pytest.raises(CommandError, match=r"no info\.csv"):
        call_command("take_times", tmp_path)
