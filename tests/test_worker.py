"""The whole way through a real broker to a real worker, as on several machines."""

import time
from collections.abc import Callable
from typing import TypeVar

import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile

from assignments.models import Take
from assignments.takes.take_store import create_take_from_file
from rhythms.bar_imports.import_store import take_in
from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.models import Rendering
from rhythms.models.rendering import FileOwner
from rhythms.notation import musicxml
from rhythms.notation.sheets import Exercise, Section, Sheet, pdf
from rhythms.renderings import rendering_store
from tests.assignments.making import strokes_of
from tests.assignments.takes.test_take_store import midi_file

pytestmark = pytest.mark.worker

T = TypeVar("T")
PATIENCE = 60  # seconds; more than any machine needs, so that a lost task ends the wait


@pytest.fixture
def fill() -> Fill:
    bar = Bar.from_counts("1 & 2 & 3 & 4 &")
    return Fill(bar, tuple(Stroke(Surface.SNARE) for _ in bar.sounded))


def wait_for(what: Callable[[], T | None]) -> T:
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        if found := what():
            return found
        time.sleep(0.05)
    pytest.fail(f"the worker did not do it within {PATIENCE} s")


def engraved(fill: Fill) -> str | None:
    """Return the SVG once another process has made it."""
    return rendering_store.markup(rendering_store.rendering_for(fill))


def test_the_worker_engraves_what_a_page_asks_for(worker, fill):
    assert engraved(fill) is None  # asked for, and not made by this process
    assert "<svg" in wait_for(lambda: engraved(fill))


def test_the_worker_prints_a_sheet(worker, fill, studio):
    section = Section("On the snare", (Exercise("Fill 1", fill),))
    sheet = Sheet("Line 4", (section,))

    def printed() -> bytes | None:
        wanted = rendering_store.sheet_file(sheet, "line 4")
        made = rendering_store.file_rendering(wanted, FileOwner.of(studio))
        file = rendering_store.opened(made)
        if file is None:
            return None
        with file:
            return file.read()

    assert printed() is None
    assert wait_for(printed) == pdf(sheet)


def test_the_worker_makes_a_lost_file_again(worker, fill):
    wait_for(lambda: engraved(fill))
    default_storage.delete(str(Rendering.objects.get().file))
    assert engraved(fill) is None
    assert "<svg" in wait_for(lambda: engraved(fill))


def test_the_worker_reads_a_file_and_looks_at_the_take(worker, student, variation):
    data = midi_file(strokes_of(variation.as_fill, 92), 92)
    take = create_take_from_file(student, data, "take.mid", variation=variation)
    assert Take.objects.get(pk=take.pk).state == Take.State.WAITING
    done = Take.objects.filter(pk=take.pk, state=Take.State.DONE)
    wait_for(lambda: "done" if done.exists() else None)
    assert done.get().analysis["attempts"][0]["notes"][0]["outcome"] == "right"


def test_the_worker_reads_a_file_that_a_teacher_brings(worker, studio, fill):
    """The broker is told of the file by its key alone; its bytes are in the database."""
    sent = take_in(studio, SimpleUploadedFile("Line 4.musicxml", musicxml(fill).encode()))

    def read() -> str | None:
        sent.refresh_from_db()
        return sent.reading and sent.read.measures[0].bar.counts()

    assert wait_for(read) == fill.bar.counts()
