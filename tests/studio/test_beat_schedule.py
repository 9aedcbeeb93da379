"""What the worker does by itself."""

from collections import Counter
from datetime import timedelta

import pytest
from django.conf import settings

from studio import sweeping
from studio.celery import app
from studio.task_routes import ROUTES, SLOW
from studio.worker_watch import WatchedScheduler


@pytest.fixture
def entries(tmp_path, monkeypatch):
    """All that the beat of the site has, by name; not what Celery adds for itself."""
    monkeypatch.setattr(WatchedScheduler, "_watch", lambda self: None)
    app.loader.import_default_modules()
    beat = WatchedScheduler(app=app, schedule_filename=str(tmp_path / "beat"))
    yield {name: one for name, one in beat.schedule.items() if not name.startswith("celery.")}
    beat.close()
    app.conf.beat_schedule = settings.CELERY_BEAT_SCHEDULE


def test_every_scheduled_task_is_one_that_the_worker_knows(entries):
    assert {entry.task for entry in entries.values()} - set(app.tasks) == set()


def test_whatever_the_beat_sends_is_slow(entries):
    assert {ROUTES[entry.task]["queue"] for entry in entries.values()} == {SLOW}


def test_the_beat_asks_for_all_that_is_swept(entries):
    swept = [entry.args[0] for entry in entries.values() if entry.task == sweeping.TASK]
    assert sorted(swept) == sorted(sweeping.registered())


def test_nothing_is_asked_for_by_two_entries(entries):
    asked = Counter(
        entry.args[0] if entry.task == sweeping.TASK else entry.task for entry in entries.values()
    )
    assert {what for what, times in asked.items() if times > 1} == set()


def test_what_somebody_waits_for_is_asked_for_again_soon(entries):
    soon = {
        entry.args[0]
        for entry in entries.values()
        if entry.task == sweeping.TASK and entry.schedule.run_every <= timedelta(minutes=5)
    }
    assert soon == {
        "assignments.tasks.send_reminders",
        "assignments.tasks.sweep_takes",
        "rhythms.tasks.sweep",
        "studio.tasks.send_waiting_mails",
    }
