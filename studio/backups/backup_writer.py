"""Writing a backup, while the site is in use."""

import hashlib
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from django.core.files.storage import default_storage
from django.db import connections, models
from django.db.migrations.loader import MigrationLoader
from django.utils import timezone

from studio.backups.archive import FORMAT, ArchiveWriter, new_archive
from studio.backups.snapshot import snapshot
from studio.backups.stored_rows import StoredTable, tables_of

_PIECE = 192 * 1024  # bytes of a file in a line


class NothingToBackUpError(Exception):
    """Raised where the database has no tables yet."""


class BackupTotals(NamedTuple):
    """How many rows and files a backup holds, and how many files were not there."""

    rows: int
    files: int
    gone: int


def make_backup(path: Path) -> BackupTotals:
    """Write all rows, as they are at this moment, and the files that they name.

    A file that is not there is left out: it was lost, or swept out meanwhile, and what can be
    made again is made again. Raises NothingToBackUpError, OSError.
    """
    with snapshot() as using:
        loader = MigrationLoader(connections[using])
        applied = sorted(set(loader.applied_migrations) & set(loader.disk_migrations))
        if not applied:
            raise NothingToBackUpError
        tables = tables_of(loader.project_state(applied).apps)
        with new_archive(path) as archive:
            archive.write("head", _head(applied))
            rows = sum(_write_table(archive, table, using) for table in tables)
            there = [_write_file(archive, name) for name in _file_names(tables, using)]
            totals = BackupTotals(rows, sum(there), len(there) - sum(there))
            archive.close(totals._asdict())
    return totals


def _head(applied: list[tuple[str, str]]) -> dict[str, object]:
    return {"format": FORMAT, "migrations": applied, "made_at": timezone.now().isoformat()}


def _write_table(archive: ArchiveWriter, table: StoredTable, using: str) -> int:
    archive.write("table", {"model": table.label, "columns": table.columns})
    number = 0
    for row in table.rows(using):
        archive.write("row", row)
        number += 1
    return number


def _file_names(tables: list[StoredTable], using: str) -> Iterator[str]:
    for table in tables:
        for field in table.fields:
            if isinstance(field, models.FileField):
                named = table.model._base_manager.using(using).exclude(**{field.attname: ""})
                yield from named.values_list(field.attname, flat=True).distinct().iterator()


def _write_file(archive: ArchiveWriter, name: str) -> bool:
    try:
        file = default_storage.open(name)
    except FileNotFoundError:
        return False
    content = hashlib.sha256()
    with file:
        archive.write("file", name)
        while piece := file.read(_PIECE):
            content.update(piece)
            archive.write_bytes(piece)
    archive.write("file end", content.hexdigest())
    return True
