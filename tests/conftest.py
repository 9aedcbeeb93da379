"""Fixtures of all tests: the cast, and a safe place for files, cache and tasks."""

import gc
import os
from importlib.util import find_spec
from itertools import count

import hypothesis.core
import pytest
from django.conf import settings as django_settings
from django.contrib.auth.management import create_permissions
from django.contrib.contenttypes.management import create_contenttypes
from django.db import connection, transaction
from django.db.models.signals import post_migrate
from django.test import override_settings

from assignments.days import today_in
from assignments.models import Assignment
from studio.celery import app as celery_app
from studio.models import Student, Teacher
from tests import cast, thoroughness
from tests.assignments import making
from tests.live_site import (  # noqa: F401 - fixtures are found by their names here
    all_answered,
    all_sounds,
    drawings_of_all_tests,
    same_drawings,
    same_sounds,
    sounds_of_all_tests,
)
from tests.processes import (  # noqa: F401 - hooks are found by their names here
    long_ones_first,
    pytest_cmdline_main,
    pytest_xdist_auto_num_workers,
    pytest_xdist_make_scheduler,
)

FULL = os.environ.get("FILLWRIGHT_FULL") == "1"


#: A full run fails without it; the README's command does not install it.
DRIVERS = {"browser": "playwright", "other_browsers": "selenium"}
NO_DRIVER = {
    folder: driver for folder, driver in DRIVERS.items() if not FULL and find_spec(driver) is None
}
collect_ignore = list(NO_DRIVER)


ROOM_4 = ("Room 4", "ines@example.org")
MIRA = {"nickname": "Mira", "lesson_weekday": 2}
#: What a test asks for that touches the database.
OF_THE_DATABASE = {"db", "transactional_db", "django_db_setup", "live_server"}


def pytest_addoption(parser):
    parser.addoption(
        "--thorough", action="store_true", help="try every law on all the cases it asks for"
    )


@pytest.hookimpl(tryfirst=True)
def pytest_configure(config):
    thoroughness.choose(thorough=config.getoption("thorough"))


@pytest.hookimpl(trylast=True)
def pytest_sessionstart(session):
    """Random cases differ from run to run; the seed that is printed brings all of them back."""
    if hypothesis.core.global_force_seed is None:
        hypothesis.core.global_force_seed = session.config.getoption("randomly_seed", None)


def pytest_terminal_summary(terminalreporter):
    for folder, driver in NO_DRIVER.items():
        terminalreporter.write_line(
            f"SKIPPED tests/{folder}: needs {driver}: pip install -r .ci/requirements.txt"
        )


@pytest.hookimpl(wrapper=True)
def pytest_collection_modifyitems(items):
    for item in items:
        if item.get_closest_marker("django_db") or OF_THE_DATABASE & set(item.fixturenames):
            item.add_marker(pytest.mark.database)
        if getattr(item.obj, "is_hypothesis_test", False) or "amount" in vars(item.module):
            item.add_marker(pytest.mark.law)
    yield
    long_ones_first(items)  # once they are in random order


@pytest.hookimpl(wrapper=True)
def pytest_collection():
    """Nearly all that is made now stays: looking for garbage takes a fifth of the time."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.enable()


def pytest_collection_finish():
    """What is there now stays: the collector of garbage need not go through it again and again."""
    gc.collect()
    gc.freeze()


#: A full run still passes without what may not be committed.
NOT_OURS = "Data that is not ours to ship"


def _fail_if_skipped(report):
    excused = hasattr(report, "wasxfail") or NOT_OURS in str(report.longrepr)
    if FULL and report.skipped and not excused:
        report.outcome = "failed"
        report.longrepr = f"In a full run nothing may be skipped: {report.longrepr}"
    return report


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport():
    return _fail_if_skipped((yield))


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report():
    return _fail_if_skipped((yield))


@pytest.fixture(scope="session")
def django_db_modify_db_settings(request, tmp_path_factory):
    """A database for each process; SQLite in a file, as in real use.

    Only a database with a name of its own is shared, with a worker and by one process.
    """
    test, processes = connection.settings_dict["TEST"], hasattr(request.config, "workerinput")
    if test["NAME"]:
        assert not processes, "TEST_DATABASE_NAME is for tests in one process: pytest -n0"
    elif connection.vendor == "sqlite":
        test["NAME"] = tmp_path_factory.mktemp("database") / "test.sqlite3"
    else:
        request.getfixturevalue("django_db_modify_db_settings_parallel_suffix")


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup, django_db_blocker):
    """A request of a page that was closed may still be under way when the tests are over."""
    yield
    if connection.vendor == "postgresql":
        with django_db_blocker.unblock(), connection.cursor() as cursor:
            cursor.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
                " WHERE datname = current_database() AND pid <> pg_backend_pid()"
            )


@pytest.fixture(scope="session", autouse=True)
def _tasks_run_at_once():
    """Tasks run in the test's own process; only the `worker` fixture changes that."""
    celery_app.conf.task_always_eager = True


@pytest.fixture(scope="session", autouse=True)
def _passwords_are_hashed_quickly():
    with override_settings(PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"]):
        yield


@pytest.fixture(scope="session", autouse=True)
def _tables_are_emptied_quickly():
    """Django would fill two of them anew after each transactional test; the app reads neither."""
    assert post_migrate.disconnect(
        dispatch_uid=f"{create_permissions.__module__}.create_permissions"
    )
    assert post_migrate.disconnect(create_contenttypes)


@pytest.fixture(scope="session")
def places_of_tests(tmp_path_factory):
    """A folder for the files of each test; who writes none makes none."""
    media = tmp_path_factory.mktemp("media")
    return (media / str(number) for number in count())


@pytest.fixture(autouse=True)
def _apart_from_the_world(request, settings, places_of_tests):
    """Each test has its own cache, and its own files unless it shares them with a worker."""
    place = next(places_of_tests)
    settings.SWEEP_BESIDE_PAGES = False  # in passing, a page would ask for more than a test counts
    settings.CACHES = {
        "default": {
            "BACKEND": "django.core.cache.backends.locmem.LocMemCache",
            "LOCATION": str(place),
        }
    }
    if "worker" not in request.fixturenames:
        settings.MEDIA_ROOT = place


@pytest.fixture
def worker(transactional_db):
    """Tasks go through Redis to a worker that runs on the tests' database (see .ci/run)."""
    if not django_settings.REDIS_URL:
        pytest.skip("needs Redis and a worker: set REDIS_URL and TEST_DATABASE_NAME, see .ci/run")
    answers = celery_app.control.broadcast("ping", reply=True, timeout=10, limit=1)
    assert answers, "REDIS_URL is set, but no worker answers"
    celery_app.conf.task_always_eager = False
    yield celery_app
    celery_app.conf.task_always_eager = True


@pytest.fixture(scope="module")
def one_cast(django_db_setup, django_db_blocker):
    """A teacher, and a student who has fills, made once for a module: each test is undone to here.

    For a module whose tests nearly all ask for them: `usefixtures("one_cast")`.
    """
    with django_db_blocker.unblock(), transaction.atomic():
        studio, teacher = cast.open_a_studio(*ROOM_4)
        student = cast.add_student(studio, **MIRA)
        assignment = making.give(student)
        clients = cast.signed_in_teacher(teacher), cast.signed_in_student(student)
        yield cast.MadeOnce(teacher.pk, student.pk, assignment.pk, *clients)
        transaction.set_rollback(True)


@pytest.fixture
def made_once(request):
    """What the module has made of the cast, if it has."""
    return request.getfixturevalue("one_cast") if "one_cast" in request.fixturenames else None


@pytest.fixture
def teacher(made_once, db):
    if made_once:
        return Teacher.objects.get(pk=made_once.teacher)
    return cast.open_a_studio(*ROOM_4)[1]


@pytest.fixture
def studio(teacher):
    return teacher.memberships.get().studio


@pytest.fixture
def student(made_once, studio):
    if made_once:
        return Student.objects.get(pk=made_once.student)
    return cast.add_student(studio, **MIRA)


@pytest.fixture
def classmate(studio):
    """Another student of the same studio."""
    return cast.add_student(studio, "Jonas")


@pytest.fixture
def other_teacher(db):
    """An outsider: teaches in another studio."""
    return cast.open_a_studio("The cellar", "olu@example.org")[1]


@pytest.fixture
def other_studio(other_teacher):
    return other_teacher.memberships.get().studio


@pytest.fixture
def other_student(other_studio):
    """An outsider: learns in another studio."""
    return cast.add_student(other_studio, "Tariq")


@pytest.fixture
def day(studio):
    """The studio's today."""
    return today_in(studio)


@pytest.fixture
def bar(studio):
    """The bar of the method: four eighths and eight 16ths."""
    return studio.bars.get(name="Eighths and 16ths by turns")


@pytest.fixture
def bar_import(studio):
    """A file that a teacher brought, not read yet."""
    return studio.bar_imports.create(name="Chapter 2.mid", data=b"MThd")


@pytest.fixture
def rule_set(studio):
    """Eighths on the snare, 16ths anywhere: the second step of the ladder."""
    return studio.rule_sets.get(name="Eighths on the snare, 16ths anywhere")


@pytest.fixture
def ladder(studio):
    return studio.ladders.get()


@pytest.fixture
def step(ladder):
    """The first step of the ladder."""
    return ladder.steps.kept().first()


@pytest.fixture
def assignment(made_once, student):
    """Three fills that the student has."""
    if made_once:
        return Assignment.objects.get(pk=made_once.assignment)
    return making.give(student)


@pytest.fixture
def variation(assignment):
    return making.first_fill(assignment)


@pytest.fixture
def entry(student, variation, day):
    """Five minutes that the student has logged today."""
    return making.logged(student, 5, day, variation)


@pytest.fixture
def take(student, variation):
    """The student played the fill once, exactly, on pads against a click."""
    return making.taken(student, variation)


@pytest.fixture
def teacher_client(made_once, teacher):
    return cast.like(made_once.teacher_client) if made_once else cast.signed_in_teacher(teacher)


@pytest.fixture
def student_client(made_once, student):
    return cast.like(made_once.student_client) if made_once else cast.signed_in_student(student)


@pytest.fixture
def classmate_client(classmate):
    return cast.signed_in_student(classmate)


@pytest.fixture
def other_teacher_client(other_teacher):
    return cast.signed_in_teacher(other_teacher)


@pytest.fixture
def other_student_client(other_student):
    return cast.signed_in_student(other_student)
