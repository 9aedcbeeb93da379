"""A whole installation goes into a file while it is written to, and comes out the same."""

import gzip
import hashlib
import json
import os
import shutil
import sqlite3
import stat
import subprocess
import threading
import uuid
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from django.apps import apps
from django.conf import settings as project
from django.core.management import CommandError, call_command
from django.db import connections, transaction
from django.db.migrations.loader import MigrationLoader
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assignments.models import Take
from rhythms.models import Rendering
from studio.backups import archive
from studio.backups.archive import DamagedBackupError, canonical, new_archive, records
from studio.backups.backup_restorer import MADE_BY_MIGRATE
from studio.backups.backup_writer import make_backup
from studio.backups.snapshot import snapshot
from studio.backups.stored_rows import tables_of
from studio.management.commands import restore
from studio.models import SignInLink, Student
from tests.cast import add_student
from tests.studio.ready_process import managed
from tests.upgrade import restoring

committed = pytest.mark.django_db(transaction=True)


def rows_of(path: Path) -> dict[str, Counter]:
    """The hash of every row of a backup, by table."""
    found: dict[str, Counter] = {}
    for record in records(path):
        if record.kind == "table":
            found[record.content["model"]] = rows = Counter()
        elif record.kind == "row":
            rows[hashlib.sha256(record.text.encode()).hexdigest()] += 1
    return found


def same_rows(one: Path, other: Path) -> bool:
    """Whether they have the same rows, but those that `migrate` makes in every database.

    The tests' own database has none of them.
    """
    first, second = rows_of(one), rows_of(other)
    compared = first.keys() - set(MADE_BY_MIGRATE)
    assert sum(first[label].total() for label in compared) > 30
    return first.keys() == second.keys() and all(first[at] == second[at] for at in compared)


def files_in(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


@pytest.fixture
def manage(run):
    def manage(folder: Path, database: str, *words: object) -> subprocess.CompletedProcess:
        """Run a command in an installation of its own."""
        own = {"DATABASE_URL": database, "MEDIA_ROOT": str(folder / "media"), "REDIS_URL": ""}
        return run(managed(*words), os.environ | own)

    return manage


@pytest.fixture
def new_postgresql():
    """The address of a database without tables, beside the tests' own."""
    import psycopg
    from psycopg.sql import SQL, Identifier

    if not project.DATABASE_URL.startswith("postgres"):
        pytest.skip("needs PostgreSQL: set DATABASE_URL")
    own = f"backup_{uuid.uuid4().hex}"
    with psycopg.connect(project.DATABASE_URL, autocommit=True) as server:
        server.execute(
            SQL("CREATE DATABASE {} TEMPLATE template0 ENCODING 'UTF8'").format(Identifier(own))
        )
    try:
        yield urlsplit(project.DATABASE_URL)._replace(path=f"/{own}").geturl()
    finally:
        with psycopg.connect(project.DATABASE_URL, autocommit=True) as server:
            server.execute(SQL("DROP DATABASE {} WITH (FORCE)").format(Identifier(own)))


@pytest.fixture
def in_use(transactional_db, entry, take, bar_import, classmate):
    """A studio with something in most tables, and files."""
    SignInLink.issue(classmate)
    classmate.remove()
    assert Rendering.objects.exclude(file="").exists()


@pytest.fixture
def backup(in_use, tmp_path):
    make_backup(tmp_path / "a.backup")
    return tmp_path / "a.backup"


class TestBackingUp:
    def test_every_row_is_in_it(self, backup):
        counts = {label: rows.total() for label, rows in rows_of(backup).items()}
        kept = {
            model._meta.label_lower: model._base_manager.count()
            for model in (Student, SignInLink, Rendering)
        }
        assert counts | kept == counts
        assert min(kept.values()) > 0

    def test_no_session_is_in_it(self, teacher_client, backup):
        assert "sessions.session" not in rows_of(backup)

    def test_only_its_owner_can_read_it(self, backup):
        assert stat.S_IMODE(backup.stat().st_mode) == 0o600

    def test_one_that_fails_leaves_the_former_one(self, backup, monkeypatch):
        before = backup.read_bytes()

        def full(*_):
            raise OSError(28, "No space left on device")

        monkeypatch.setattr(archive.ArchiveWriter, "close", full)
        with pytest.raises(CommandError, match=r"No space left on device: .*a\.backup$"):
            call_command("backup", backup)
        assert backup.read_bytes() == before
        assert list(backup.parent.glob(".*")) == []

    def test_a_folder_that_is_not_there_is_said(self, in_use, tmp_path):
        with pytest.raises(CommandError, match="No such file or directory"):
            call_command("backup", tmp_path / "nowhere" / "a.backup")

    def test_a_file_that_is_lost_is_left_out_and_said(self, in_use, tmp_path, settings, capsys):
        lost = Rendering.objects.exclude(file="").first()
        Path(lost.file.path).unlink()
        call_command("backup", tmp_path / "a.backup")
        assert "1 files were not there" in capsys.readouterr().out


@committed
def test_who_writes_meanwhile_goes_on_and_the_backup_is_of_one_moment(in_use, studio, tmp_path):
    """A student and the link of the student are written together: never one without the other."""
    stopped, numbers = threading.Event(), []

    def write():
        while not stopped.is_set():
            with transaction.atomic():
                SignInLink.issue(add_student(studio, f"Student {len(numbers)}"))
            numbers.append(len(numbers))
        connections.close_all()

    without_link = Student.objects.filter(sign_in_links=None).count()
    writer = threading.Thread(target=write)
    writer.start()
    try:
        written = 0
        for _ in range(50):
            before = len(numbers)
            make_backup(tmp_path / "a.backup")
            written = len(numbers) - before
            if written >= 3:
                break
    finally:
        stopped.set()
        writer.join()
    rows = rows_of(tmp_path / "a.backup")
    assert written >= 3
    links = {link["student_id"] for link in as_dicts(tmp_path / "a.backup", "studio.signinlink")}
    assert rows["studio.student"].total() - len(links) == without_link


@committed
def test_a_snapshot_keeps_out_nobody_who_writes_and_does_not_see_it(student):
    with snapshot() as using:
        before = Student.objects.using(using).count()
        add_student(student.studio, "Late")
        assert Student.objects.using(using).count() == before
    assert Student.objects.count() == before + 1


def as_dicts(path: Path, label: str) -> list[dict]:
    found, columns = [], None
    for record in records(path):
        if record.kind == "table":
            columns = record.content["columns"] if record.content["model"] == label else None
        elif record.kind == "row" and columns:
            found.append(dict(zip(columns, record.content, strict=True)))
    return found


@committed
class TestRestoring:
    @pytest.fixture
    def restored(self, backup, tmp_path, manage):
        """The folder of a new installation with SQLite, and its database."""
        folder = tmp_path / "restored"
        folder.mkdir()
        database = f"sqlite:///{folder / 'db.sqlite3'}"
        done = manage(folder, database, "restore", backup)
        assert done.returncode == 0, done.stderr
        return folder, database

    def test_every_row_and_file_is_the_same(self, restored, backup, settings, manage):
        folder, database = restored
        assert manage(folder, database, "backup", folder / "b.backup").returncode == 0
        assert same_rows(folder / "b.backup", backup)
        assert files_in(folder / "media") == files_in(Path(settings.MEDIA_ROOT))

    @pytest.mark.postgresql
    def test_one_of_sqlite_goes_into_postgresql_which_counts_on(
        self, new_postgresql, restored, tmp_path, backup, manage
    ):
        import psycopg

        folder, database = restored
        assert manage(folder, database, "backup", folder / "b.backup").returncode == 0
        other = tmp_path / "other"
        other.mkdir()
        done = manage(other, new_postgresql, "restore", folder / "b.backup")
        assert done.returncode == 0, done.stderr
        assert manage(other, new_postgresql, "backup", other / "c.backup").returncode == 0
        with psycopg.connect(new_postgresql) as there:
            [highest, following] = there.execute(
                "SELECT max(id), nextval(pg_get_serial_sequence('studio_student', 'id'))"
                " FROM studio_student"
            ).fetchone()
        assert same_rows(other / "c.backup", backup)
        assert following == highest + 1


def test_one_of_an_older_version_is_brought_up_to_date(tmp_path, manage):
    with restoring.on_sqlite(tmp_path) as old:
        shutil.move(restoring.files(tmp_path), tmp_path / "media")
        done = manage(tmp_path, old, "backup", tmp_path / "old.backup")
        assert done.returncode == 0, done.stderr
    folder = tmp_path / "new"
    folder.mkdir()
    new = f"sqlite:///{folder / 'db.sqlite3'}"
    done = manage(folder, new, "restore", tmp_path / "old.backup")
    assert done.returncode == 0, done.stderr
    with sqlite3.connect(folder / "db.sqlite3") as there:
        had = set(there.execute("SELECT app, name FROM django_migrations"))
    assert had == set(MigrationLoader(None).disk_migrations)


def rewritten(path: Path, change) -> Path:
    """A whole backup that says something else."""
    lines = [(record.kind, record.content) for record in records(path)]
    with new_archive(path) as written:
        for kind, content in lines[:-1]:
            written.write(kind, change(content) if kind == "head" else content)
        written.close({key: lines[-1][1][key] for key in ("rows", "files", "gone")})
    return path


def newer_migration(head):
    return head | {"migrations": [*head["migrations"], ["studio", "9999_of_the_future"]]}


@committed
class TestRefusing:
    def refused(self, path) -> CommandError:
        with pytest.raises(CommandError) as caught:
            call_command("restore", path)
        return caught.value

    def test_an_installation_in_use_is_kept(self, backup):
        students = Student.objects.count()
        error = self.refused(backup)
        assert error.returncode == restore.NOT_EMPTY
        assert f"{students} of studio.student" in str(error)
        assert Student.objects.count() == students

    @pytest.mark.parametrize(
        "change",
        [newer_migration, lambda head: head | {"format": archive.FORMAT + 1}],
        ids=["migrations", "format"],
    )
    def test_one_of_a_newer_version(self, backup, change):
        error = self.refused(rewritten(backup, change))
        assert error.returncode == restore.NEWER
        assert "Install that version first. Nothing was restored." in str(error)

    @pytest.mark.parametrize(
        "content",
        [b"", b"no backup", gzip.compress(b"no backup\n")],
        ids=["empty", "other", "compressed"],
    )
    def test_what_is_no_backup(self, db, tmp_path, content):
        path = tmp_path / "a.backup"
        path.write_bytes(content)
        error = self.refused(path)
        assert error.returncode == restore.DAMAGED
        assert "is no whole backup." in str(error)

    def test_one_that_is_not_there(self, db, tmp_path):
        error = self.refused(tmp_path / "a.backup")
        assert error.returncode == 1
        assert "No such file or directory" in str(error)


def lines_of(path: Path) -> list[bytes]:
    return gzip.decompress(path.read_bytes()).splitlines(keepends=True)


def read_to_its_end(path: Path) -> int:
    return sum(1 for _ in records(path))


@pytest.fixture
def small(tmp_path):
    """A backup of a few lines."""
    path = tmp_path / "small.backup"
    with new_archive(path) as written:
        written.write("head", {"format": 1, "migrations": []})
        written.write("table", {"model": "studio.kit", "columns": ["id", "name"]})
        written.write("row", [1, "Standard kit"])
        written.write("row", [2, "Practice pad"])
        written.close({"rows": 2, "files": 0, "gone": 0})
    return path


class TestDamage:
    def test_a_whole_one_is_read_to_its_end(self, small):
        assert read_to_its_end(small) == 5

    @settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
    @given(data=st.data())
    def test_a_bit_that_changed_is_noticed(self, small, data):
        whole = bytearray(gzip.decompress(small.read_bytes()))
        at = data.draw(st.integers(0, len(whole) - 2))  # the last line may end as it likes
        whole[at] ^= 1 << data.draw(st.integers(0, 7))
        damaged = small.with_name("damaged.backup")
        damaged.write_bytes(gzip.compress(bytes(whole)))
        with pytest.raises(DamagedBackupError):
            read_to_its_end(damaged)

    @settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
    @given(data=st.data())
    def test_one_that_was_cut_off_is_noticed(self, small, data):
        whole = small.read_bytes()
        cut = small.with_name("cut.backup")
        cut.write_bytes(whole[: data.draw(st.integers(0, len(whole) - 9))])
        with pytest.raises(DamagedBackupError):
            read_to_its_end(cut)

    @pytest.mark.parametrize(
        "change",
        [
            lambda lines: [*lines[:2], *lines[3:]],
            lambda lines: [*lines[:2], lines[3], lines[2], *lines[4:]],
            lambda lines: [*lines, lines[3]],
            lambda lines: lines[:-1],
        ],
        ids=["left out", "exchanged", "added", "without its end"],
    )
    def test_lines_that_are_whole_but_others_are_noticed(self, small, change):
        small.write_bytes(gzip.compress(b"".join(change(lines_of(small)))))
        with pytest.raises(DamagedBackupError):
            read_to_its_end(small)


#: What a text may be in both databases.
TEXT = st.text(st.characters(exclude_characters="\0", exclude_categories=["Cs"]), max_size=20)
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | TEXT | st.floats(-1e15, 1e15),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXT, inner, max_size=3),
    max_leaves=8,
)


@pytest.mark.django_db
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    events=st.lists(JSON, max_size=3),
    data=st.binary(max_size=50),
    latency=st.none() | st.floats(0, 1000),
    moment=st.datetimes(min_value=datetime(1900, 1, 1), timezones=st.just(UTC)),  # noqa: DTZ001
)
def test_a_row_comes_out_of_a_table_as_it_went_in(student, day, events, data, latency, moment):
    table = next(table for table in tables_of(apps) if table.label == "assignments.take")
    details = {"upload": data, "latency": latency, "asked_at": moment, "seconds": 0.1}
    Take.objects.all().delete()
    Take.objects.create(student=student, day=day, events=events, **details)
    [before] = table.rows("default")
    Take.objects.all().delete()
    table.insert([json.loads(canonical(before))], "default")
    assert list(table.rows("default")) == [before]
