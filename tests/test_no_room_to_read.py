"""Where a machine has no room for temporary files, what was sent waits, and is read later."""

import tempfile

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from assignments.models import Take
from assignments.takes.take_analysis import analyse_take
from assignments.takes.take_store import create_take_from_file
from rhythms.bar_imports.import_reader import read_import
from rhythms.bar_imports.import_store import take_in
from rhythms.engine import Bar
from rhythms.engine.fills.fill import snare_fill
from rhythms.models import BarImport
from rhythms.models.bar_import import MOST_TRIES
from rhythms.notation import musicxml
from tests.assignments.making import strokes_of
from tests.assignments.takes.test_take_store import midi_file

pytestmark = pytest.mark.django_db


@pytest.fixture
def room(monkeypatch, tmp_path):
    """Call it to have room again."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "none"))
    return lambda: monkeypatch.setattr(tempfile, "tempdir", None)


def test_a_file_of_bars_is_read_once_there_is_room(studio, room):
    content = musicxml(snare_fill(Bar.from_counts("1 2 3 4"))).encode()
    sent = take_in(studio, SimpleUploadedFile("Line 4.musicxml", content))
    for _ in range(MOST_TRIES + 1):
        read_import(str(sent.pk))
    sent.refresh_from_db()
    assert (sent.state, bytes(sent.data)) == (BarImport.State.WAITING, content)
    room()
    read_import(str(sent.pk))
    sent.refresh_from_db()
    assert sent.state == BarImport.State.DONE


def test_a_take_is_read_once_there_is_room(student, variation, room):
    data = midi_file(strokes_of(variation.as_fill, 92), 92)
    take = create_take_from_file(student, data, "take.mid", variation=variation)
    analyse_take(take.pk)
    take.refresh_from_db()
    assert (take.state, bytes(take.upload)) == (Take.State.WAITING, data)
    room()
    analyse_take(take.pk)
    take.refresh_from_db()
    assert take.state == Take.State.DONE
