"""Files that people send are kept in memory until they are in the database."""

import pytest
from django.conf import settings as django_settings
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from studio.uploads import MOST_BYTES


@pytest.fixture
def no_place_for_temporary_files(settings, tmp_path):
    """As where the disk of temporary files is full."""
    settings.FILE_UPLOAD_TEMP_DIR = str(tmp_path / "none")


def send(teacher_client, size: int, **more):
    file = SimpleUploadedFile("Chapter 2.musicxml", b"<?xml" + b" " * (size - 5))
    return teacher_client.post(reverse("rhythms:bar-import"), {"file": file, **more})


def test_a_file_of_the_largest_size_needs_no_disk(
    teacher_client, studio, no_place_for_temporary_files
):
    assert send(teacher_client, 4_000_000).status_code == 302
    assert len(bytes(studio.bar_imports.get().data)) == 4_000_000


def test_one_that_is_too_large_is_refused_beside_its_field(
    teacher_client, no_place_for_temporary_files
):
    page = send(teacher_client, MOST_BYTES + 1_000_000)
    assert "4 MB" in str(page.context["form"].errors["file"])


def test_all_files_of_a_request_together_are_bounded(rf):
    """A request may have a hundred files; the memory for them is that of one."""
    files = {f"file{n}": SimpleUploadedFile("a", b"x" * 5_000_000) for n in range(4)}
    sent = rf.post("/", files).FILES
    assert sum(len(file.read()) for file in sent.values()) <= MOST_BYTES
    assert {file.size for file in sent.values()} == {5_000_000}
    assert django_settings.FILE_UPLOAD_HANDLERS == ["studio.uploads.CutOff"]
