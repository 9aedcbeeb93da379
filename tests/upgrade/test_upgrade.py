"""A studio that older code has made is opened by this code, as after a deploy. See README.md.

Each test looks at one fact of the report of `new_code`, a process of its own that runs once for
each kind of database.
"""

import fcntl
import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import SimpleNamespace

import pytest
from django.conf import settings

from rhythms.engine.comfort import FEWEST
from tests.permissions import ROWS
from tests.upgrade import restoring
from tests.upgrade.internals import VERSIONS

ROOT = Path(__file__).resolve().parents[2]
#: Databases of a Redis server; the first one is everybody's.
REDIS_DATABASES = range(1, 16)


ON_POSTGRESQL = pytest.param("postgresql", marks=pytest.mark.postgresql)


@pytest.fixture(scope="module", params=["sqlite", ON_POSTGRESQL])
def upgraded(request, tmp_path_factory):
    """What the old code recorded (`before`), and the report of this code."""
    kind = request.param
    if kind == "postgresql" and not settings.DATABASE_URL.startswith("postgres"):
        pytest.skip("needs PostgreSQL: set DATABASE_URL")
    folder = _shared(tmp_path_factory) / f"upgrade-{kind}"
    folder.mkdir(exist_ok=True)
    report = folder / "report.json"
    with (folder / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not report.exists():
            report.write_text(_report(kind, folder))
    return SimpleNamespace(before=restoring.kept(kind, "facts"), **json.loads(report.read_text()))


def _shared(tmp_path_factory) -> Path:
    """The folder of this run; where several processes share its tests, that of all of them."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


def _report(kind: str, folder: Path) -> str:
    database = (
        restoring.on_sqlite(folder)
        if kind == "sqlite"
        else restoring.on_postgresql(settings.DATABASE_URL)
    )
    with database as address, _redis() as redis_url:
        environment = os.environ | {
            "DATABASE_URL": address,
            "MEDIA_ROOT": str(restoring.files(folder)),
            "SECRET_KEY": restoring.kept(kind, "facts")["secret_key"],
            "REDIS_URL": redis_url,
            "METRICS_TOKEN": "of the tests",
            "DEBUG": "true",
            "PYTHONWARNINGS": "error",
        }
        ran = subprocess.run(
            [sys.executable, "-m", "tests.upgrade.new_code", kind],
            cwd=ROOT,
            env=environment,
            capture_output=True,
            text=True,
            check=False,
        )
    assert ran.returncode == 0, ran.stderr[-10_000:]
    sys.stderr.write(ran.stderr)
    return ran.stdout


@contextmanager
def _redis() -> Iterator[str]:
    """The address of an empty database of the tests' Redis server; "" where there is none."""
    if not settings.REDIS_URL:
        yield ""
        return
    import redis

    for number in REDIS_DATABASES:
        address = f"{settings.REDIS_URL.rpartition('/')[0]}/{number}"
        ours = redis.Redis.from_url(address)
        if ours.dbsize() == 0 and ours.set("taken by the tests of an upgrade", 1, nx=True):
            break
    else:
        pytest.fail("every database of the Redis server is in use")
    try:
        yield address
    finally:
        ours.flushdb()
        ours.close()


# --- the data ------------------------------------------------------------------------


def test_a_migration_loses_no_row(upgraded):
    lost = {
        table: (rows, upgraded.counts.get(table))
        for table, rows in upgraded.before["counts"].items()
        if upgraded.counts.get(table, 0) < rows
    }
    assert lost == {}


def test_no_student_is_lost(upgraded):
    assert upgraded.told["students"] == upgraded.before["told"]["students"] == 11


def test_no_minute_of_practice_is_lost(upgraded):
    assert upgraded.told["minutes"] == upgraded.before["told"]["minutes"]


@pytest.mark.parametrize("what", ["fills", "entries", "takes", "progress"])
def test_a_student_gets_the_answers_they_got_before(upgraded, what):
    before, now = upgraded.before["told"]["by_student"], upgraded.told["by_student"]
    assert {pk: told[what] for pk, told in now.items()} == {
        pk: told[what] for pk, told in before.items()
    }


def test_a_space_has_as_many_fills_as_it_had_and_each_has_its_number(upgraded):
    for pk, (had_size, had_rank, size, rank, is_the_same) in upgraded.ranks.items():
        assert (size, rank, is_the_same) == (had_size, had_rank, True), f"fill {pk}"


def test_what_happened_to_a_fill_adds_up_to_the_same_standing(upgraded):
    changed = {pk: one for pk, one in upgraded.stands.items() if one["before"] != one["after"]}
    assert changed == {}


def test_the_studio_has_fills_of_every_standing(upgraded):
    """Else the test before would not say much."""
    states = {
        fill["state"]
        for told in upgraded.before["told"]["by_student"].values()
        for fill in told["fills"]
    }
    assert states == {"new", "practising", "returned", "mastered", "holds"}


def test_of_whom_takes_told_something_they_still_do(upgraded):
    before = {pk for pk, one in upgraded.before["comfort"].items() if one["takes"] >= FEWEST}
    assert len(before) > 3
    assert {pk for pk, takes in upgraded.takes_told_of.items() if takes} >= before


# --- pages ---------------------------------------------------------------------------


def test_every_page_opens(upgraded):
    assert [page for page in upgraded.pages if page["status"] not in (200, 204, 302)] == []


def test_whoever_was_signed_in_still_is(upgraded):
    """By the sessions and the key of before: nobody is sent to sign in."""
    assert [page for page in upgraded.pages if "/sign-in/" in page["to"]] == []


#: What older code could not make.
NEW_THINGS = {"groove", "teacher_take"}


def test_every_address_that_may_be_read_was_opened(upgraded):
    """By everybody who may, as the permission table has it."""
    opened = {(page["name"], page["who"]) for page in upgraded.pages}
    students = {one["nickname"] for one in upgraded.before["students"].values()}
    roles = {(name, "student" if who in students else who) for name, who in opened}
    rows = [row for row in ROWS if "GET" in row.methods and not NEW_THINGS & set(row.parts)]
    readable = {(row.name, role) for row in rows for role in row.who}
    assert readable - roles == set()


def test_a_file_asked_for_before_is_handed_out_after(upgraded):
    """Its page waits with a signed ticket; the worker makes it from the old message."""
    assert len(upgraded.tickets) == 2
    assert set(map(tuple, upgraded.tickets.values())) == {(200, "application/pdf")}


# --- renderings ----------------------------------------------------------------------


def test_a_fill_is_engraved_under_the_address_it_had(upgraded):
    if VERSIONS["svg"] == upgraded.before["versions"]["svg"]:
        assert [keys for keys in upgraded.engraved.values() if keys[0] != keys[1]] == []
    else:
        assert [keys for keys in upgraded.engraved.values() if keys[0] == keys[1]] == []


def test_a_rendering_has_another_address_only_where_its_version_is_another(upgraded):
    before = upgraded.before["versions"]
    for key, address in upgraded.addresses.items():
        form = upgraded.formats[key]
        assert (key == address) == (VERSIONS[form] == before[form]), f"{form} {key}"


def test_no_rendering_changes_its_file(upgraded):
    before = upgraded.before["renderings"]
    assert {key: upgraded.renderings.get(key) for key in before} == before
    assert {key: upgraded.renderings_after.get(key) for key in before} == before


def test_no_file_of_a_rendering_is_made_again(upgraded):
    before, after = upgraded.files["before"], upgraded.files["after"]
    assert len(before) > 300
    assert {name: after.get(name) for name in before} == before


# --- what was on its way -------------------------------------------------------------


def test_the_worker_takes_every_message_of_before_to_its_end(upgraded):
    bad = [one for one in upgraded.tasks if one["ended"] != "succeeded"]
    assert bad == []


def test_a_message_runs_under_the_name_it_was_sent_by(upgraded):
    assert [one for one in upgraded.tasks if one["ran"] != one["task"]] == []


def test_there_is_a_message_of_every_task(upgraded):
    assert {one["task"] for one in upgraded.tasks} == {
        "rhythms.tasks.render",
        "rhythms.tasks.read_file",
        "rhythms.tasks.sweep",
        "assignments.tasks.look_at",
        "assignments.tasks.sweep_takes",
        "assignments.tasks.look_at_comfort_zones",
    }


def test_nothing_waits_for_the_worker_any_more(upgraded):
    assert upgraded.waiting == {"takes": 0, "bar_imports": 0, "renderings": 0}


def test_what_an_old_device_sends_is_taken(upgraded):
    """The first time it is new or changes something; a second time it changes nothing."""
    for one in upgraded.device:
        (first, _), (again, _) = one["answers"]
        assert (first in (200, 201), again) == (True, 200), one


def test_what_an_old_device_sends_is_kept_as_it_was_sent(upgraded):
    for one in upgraded.device:
        answer, sent = one["answers"][0][1], json.loads(one["body"])
        numbers = {"minutes", "tempo", "loops", "clean_loops"}
        for name in set(sent) & set(answer) - {"events", "click", "latency", "seconds"}:
            if name in numbers and sent[name] is not None:
                assert float(answer[name]) == float(sent[name]), one
            else:
                assert answer[name] == sent[name], one
