"""Bringing a backup back, into an installation that is empty."""

import base64
import hashlib
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.contrib.sessions.models import Session
from django.core.exceptions import SuspiciousFileOperation, ValidationError
from django.core.files.base import File
from django.core.files.storage import default_storage
from django.core.management import call_command
from django.core.management.color import no_style
from django.db import DEFAULT_DB_ALIAS, DatabaseError, IntegrityError, connection, transaction
from django.db.migrations.executor import MigrationExecutor

from studio.backups.archive import FORMAT, ArchiveRecord, DamagedBackupError, canonical, records
from studio.backups.backup_writer import BackupTotals
from studio.backups.stored_rows import CHUNK, StoredTable, tables_of

#: There in every database soon after `migrate`, and of no value of their own.
MADE_BY_MIGRATE = ("auth.permission", "contenttypes.contenttype", "studio.lastsweep")
#: Files are held in memory up to so many bytes, then on disk, until they are whole.
_SPOOLED = 1024 * 1024


class NewerBackupError(Exception):
    """Raised for a backup of a version that this one does not know; says what is unknown."""


class NotEmptyError(Exception):
    """Raised where a backup would be mixed with what is there; says what that is."""


class NotRestoredError(Exception):
    """Raised where this database or storage cannot hold what the backup says."""


def restore_backup(path: Path) -> BackupTotals:
    """Put all rows and files of a backup into this installation, all or none.

    Everything is read and checked before anything is written; each row and file is read back
    and compared. A backup of an older version is brought up to date by the migrations since.
    Raises DamagedBackupError, NewerBackupError, NotEmptyError, NotRestoredError, OSError.
    """
    migrations = _check(path)
    tables = _migrated_to(migrations)
    saved: list[str] = []
    try:
        with transaction.atomic():
            totals = _Restoring(tables, saved).run(records(path))
            _refuse_broken_keys()
            _reset_sequences(tables)
    except BaseException:
        for name in saved:
            default_storage.delete(name)
        raise
    call_command("migrate", interactive=False, verbosity=0)
    return totals


def _check(path: Path) -> set[tuple[str, str]]:
    """Read all of it; return the migrations of its database."""
    lines = records(path)
    head = next(lines)
    if head.kind != "head":
        raise DamagedBackupError("It does not begin like a backup.")
    if head.content["format"] > FORMAT:
        raise NewerBackupError(f"its format is {head.content['format']}")
    migrations = {(app, name) for app, name in head.content["migrations"]}
    if unknown := migrations - set(MigrationExecutor(connection).loader.disk_migrations):
        raise NewerBackupError(f"unknown here: {', '.join(map('.'.join, sorted(unknown)))}")
    _refuse_what_is_there()
    for record in lines:
        if record.kind == "file":
            _refuse_file(record.content)
    return migrations


def _refuse_file(name: str) -> None:
    try:
        if default_storage.exists(name):
            raise NotEmptyError(f"the file {name}")
    except SuspiciousFileOperation as error:
        raise DamagedBackupError(f"It has a file of the name {name}.") from error


def _refuse_what_is_there() -> None:
    loader = MigrationExecutor(connection).loader
    if not loader.applied_migrations:
        return
    applied = list(set(loader.applied_migrations) & set(loader.disk_migrations))
    there = [
        f"{number:,} of {table.label}"
        for table in tables_of(loader.project_state(applied).apps)
        if table.label not in MADE_BY_MIGRATE
        if (number := table.model._base_manager.using(DEFAULT_DB_ALIAS).count())
    ]
    if there:
        raise NotEmptyError(", ".join(there))


def _migrated_to(migrations: set[tuple[str, str]]) -> list[StoredTable]:
    """Bring the empty database to where that of the backup was; return its tables."""
    executor = MigrationExecutor(connection)
    if set(executor.loader.applied_migrations) - migrations:
        raise NotEmptyError("tables of a later version than the backup's")
    graph = executor.loader.graph
    last = [
        key
        for key in sorted(migrations)
        if not any(
            child.key[0] == key[0] and child.key in migrations
            for child in graph.node_map[key].children
        )
    ]
    executor.migrate(last)
    state = MigrationExecutor(connection).loader.project_state(sorted(migrations))
    return tables_of(state.apps)


class _Restoring:
    """One run through the records; `saved` gets the name of each file that was written."""

    def __init__(self, tables: list[StoredTable], saved: list[str]) -> None:
        self._tables = {table.label: table for table in tables}
        self._saved = saved
        self._rows = 0

    def run(self, lines: Iterator[ArchiveRecord]) -> BackupTotals:
        self._empty()
        table: StoredTable | None = None
        rows: list[ArchiveRecord] = []
        for record in lines:
            if rows and (record.kind != "row" or len(rows) == CHUNK):
                self._keep_rows(table, rows)
                rows = []
            if record.kind == "row":
                rows.append(record)
            elif record.kind == "table":
                table = self._table(record.content)
            elif record.kind == "file":
                self._keep_file(record.content, lines)
            elif record.kind == "end":
                return self._totals(record.content)
        raise DamagedBackupError("Its end is missing.")

    def _empty(self) -> None:
        """Nobody stays signed in, and what `migrate` made gives way to what the backup has."""
        Session.objects.all().delete()
        for label in MADE_BY_MIGRATE:
            if label in self._tables:
                self._tables[label].model._base_manager.all()._raw_delete(DEFAULT_DB_ALIAS)

    def _table(self, described: dict[str, Any]) -> StoredTable:
        table = self._tables.get(described["model"])
        if table is None or table.columns != described["columns"]:
            raise DamagedBackupError(f"The table {described['model']} is another one here.")
        return table

    def _keep_rows(self, table: StoredTable | None, lines: list[ArchiveRecord]) -> None:
        if table is None:
            raise DamagedBackupError("It has rows of no table.")
        rows = [line.content for line in lines]
        try:
            table.insert(rows, DEFAULT_DB_ALIAS)
        except (DatabaseError, ValidationError, ValueError, TypeError) as error:
            raise NotRestoredError(f"{table.label}: {error}") from error
        keys = [row[table.pk] for row in rows]
        written = {row[table.pk]: row for row in table.rows(DEFAULT_DB_ALIAS, keys)}
        for key, line in zip(keys, lines, strict=True):
            if not _says(written.get(key), line):
                raise NotRestoredError(f"{table.label} {key} is not what was written.")
        self._rows += len(rows)

    def _keep_file(self, name: str, lines: Iterator[ArchiveRecord]) -> None:
        with tempfile.SpooledTemporaryFile(_SPOOLED) as spooled:
            for record in lines:
                if record.kind != "bytes":
                    break
                spooled.write(base64.b64decode(record.content))
            spooled.seek(0)
            kept = default_storage.save(name, File(spooled))
        self._saved.append(kept)
        if kept != name or _hash_of(kept) != record.content:
            raise NotRestoredError(f"The file {name} is not what was written.")

    def _totals(self, said: dict[str, Any]) -> BackupTotals:
        totals = BackupTotals(self._rows, len(self._saved), said["gone"])
        if totals != BackupTotals(said["rows"], said["files"], said["gone"]):
            raise DamagedBackupError("It does not hold what its end says.")
        return totals


def _says(row: list[Any] | None, line: ArchiveRecord) -> bool:
    """Whether a row that was read back has the hash of its line.

    PostgreSQL keeps numbers within JSON as decimals: -0.0 comes back as 0.0, the same number.
    """
    return canonical(["row", row]) == line.text or row == line.content


def _hash_of(name: str) -> str:
    with default_storage.open(name) as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _refuse_broken_keys() -> None:
    try:
        connection.check_constraints()
    except IntegrityError as error:
        raise NotRestoredError(str(error)) from error


def _reset_sequences(tables: list[StoredTable]) -> None:
    """PostgreSQL counts on from the highest key that there is; SQLite does by itself."""
    statements = connection.ops.sequence_reset_sql(no_style(), [table.model for table in tables])
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)
