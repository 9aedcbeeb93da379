"""A file is there as a whole, or not at all."""

import os
import resource
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from studio.whole_files import PARTIAL, discard_partial
from tests.full_disk import full_disk

BEFORE, AFTER = b"before" * 1000, b"after" * 10_000


@pytest.fixture
def disk(tmp_path, settings):
    with full_disk(tmp_path / "disk") as disk:
        settings.MEDIA_ROOT = disk.folder
        yield disk


def files_in(settings) -> list[Path]:
    return [path for path in Path(settings.MEDIA_ROOT).rglob("*") if path.is_file()]


def save(name: str, content: bytes) -> str:
    return default_storage.save(name, ContentFile(content))


def read(name: str) -> bytes:
    with default_storage.open(name) as file:
        return file.read()


@contextmanager
def no_file_over_4_kb() -> Iterator[None]:
    """The system refuses to let any file of this process grow beyond."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (4096, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def test_a_file_that_does_not_fit_leaves_nothing_behind(disk):
    with pytest.raises(OSError):  # noqa: PT011 - which one depends on the file system
        save("a/b.svg", AFTER)
    assert disk.files == []


def test_a_file_fits_once_there_is_room(disk):
    disk.make_room()
    save("a/b.svg", AFTER)
    assert read("a/b.svg") == AFTER


def test_a_file_that_grows_too_large_leaves_nothing_behind(settings):
    with no_file_over_4_kb(), pytest.raises(OSError, match="File too large"):
        save("a/b.svg", AFTER)
    assert files_in(settings) == []


def test_one_that_could_not_be_replaced_is_there_as_before(settings):
    save("a/b.svg", BEFORE)
    with no_file_over_4_kb(), pytest.raises(OSError, match="File too large"):
        save("a/b.svg", AFTER)
    assert read("a/b.svg") == BEFORE


def test_a_name_that_is_taken_is_taken_over(settings):
    save("a/b.svg", BEFORE)
    assert save("a/b.svg", AFTER) == "a/b.svg"
    assert read("a/b.svg") == AFTER


class TestWhatAnEndedProcessLeftBehind:
    @pytest.fixture
    def partial(self, settings):
        path = Path(settings.MEDIA_ROOT) / PARTIAL / "half"
        path.parent.mkdir(parents=True)
        path.write_bytes(b"half")
        return path

    def test_it_is_deleted_after_an_hour(self, partial):
        os.utime(partial, (0, 0))
        assert discard_partial() == 1
        assert not partial.exists()

    def test_what_is_being_written_stays(self, partial):
        assert discard_partial() == 0
        assert partial.exists()

    def test_there_may_be_nothing(self):
        assert discard_partial() == 0
