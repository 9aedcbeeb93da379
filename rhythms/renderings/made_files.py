"""Files on the disk go with their rows, and those that no row names are swept out."""

import logging
from collections.abc import Iterator
from itertools import islice
from pathlib import PurePath
from typing import Any

from django.core.files.storage import default_storage
from django.db import transaction
from django.utils import timezone

from rhythms.models import Rendering
from rhythms.models.rendering import FOLDER
from studio.models import Student
from studio.retention import STRAY_KEPT_FOR

logger = logging.getLogger(__name__)
_AT_A_TIME = 500


def delete_file_of(sender: object, instance: Rendering, **_: Any) -> None:
    """Take a file away once its row is gone, by whatever way (a receiver of `post_delete`).

    One that cannot be deleted breaks no page: it is a stray from now on.
    """

    names = {str(instance.file), instance.path} - {""}

    # A function of its own: Django names it where it logs that this failed.
    def delete_now() -> None:
        for name in names:
            default_storage.delete(name)

    transaction.on_commit(delete_now, robust=True)


def discard_files_of(student: Student) -> None:
    """Take away at once what was made for a student; it can be made again."""
    Rendering.objects.filter(student=student).delete()


def discard_strays() -> int:
    """Delete files that no row names, older than a day; returns how many."""
    number = 0
    for names in _batches():
        for name in filter(_is_old, _nameless(names)):
            try:
                default_storage.delete(name)
            except OSError:
                logger.exception("The stray file %s could not be deleted", name)
            else:
                number += 1
    return number


def _batches() -> Iterator[tuple[str, ...]]:
    stored = _stored()
    while names := tuple(islice(stored, _AT_A_TIME)):
        yield names


def _stored() -> Iterator[str]:
    for folder in _list(FOLDER)[0]:
        for name in _list(f"{FOLDER}/{folder}")[1]:
            yield f"{FOLDER}/{folder}/{name}"


def _list(folder: str) -> tuple[list[str], list[str]]:
    try:
        return default_storage.listdir(folder)
    except FileNotFoundError:
        return [], []


def _nameless(names: tuple[str, ...]) -> set[str]:
    """Those that no row names as its file, or as the one that it waits for."""
    # A storage may have put something behind the key, where there was one of that name.
    keys = {PurePath(name).name[:64] for name in names}
    rows = Rendering.objects.filter(key__in=keys).only("key", "format", "file")
    return set(names) - {str(row.file) or row.path for row in rows}


def _is_old(name: str) -> bool:
    try:
        return default_storage.get_modified_time(name) < timezone.now() - STRAY_KEPT_FOR
    except FileNotFoundError:
        return False  # taken away meanwhile
