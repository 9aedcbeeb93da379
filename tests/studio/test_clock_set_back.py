"""A clock that was ahead and is set back holds nothing up: not what waits, not the beat."""

from datetime import timedelta

import pytest
from celery import Celery
from django.utils import timezone

from assignments.models import Take
from rhythms.models import BarImport, Rendering
from studio import sweeping
from studio.worker_watch import WatchedScheduler

AHEAD = timedelta(hours=1)


@pytest.fixture
def rendering(db):
    return Rendering.objects.create(key="0" * 64, format="svg", source={})


@pytest.mark.parametrize("hours", [-1, 1])
def test_an_engraving_asked_for_by_another_clock_is_asked_for_again(rendering, hours):
    Rendering.objects.update(asked_at=timezone.now() + hours * AHEAD)
    rendering.refresh_from_db()
    assert list(Rendering.objects.overdue()) == [rendering]
    assert rendering.is_overdue


def test_an_engraving_asked_for_just_now_is_waited_for(rendering):
    assert not Rendering.objects.overdue()
    assert not rendering.is_overdue


def test_an_engraving_held_up_by_a_clock_far_ahead_has_its_turn(rendering):
    now = timezone.now()
    Rendering.objects.update(asked_at=now - AHEAD, retry_at=now + 24 * AHEAD)
    rendering.refresh_from_db()
    assert list(Rendering.objects.overdue()) == [rendering]
    assert rendering.is_overdue


def test_a_take_kept_by_a_clock_ahead_is_looked_at(take):
    Take.objects.update(state=Take.State.WAITING, asked_at=timezone.now() + AHEAD)
    assert list(Take.objects.overdue()) == [take]


def test_a_file_kept_by_a_clock_ahead_is_read(bar_import):
    BarImport.objects.update(asked_at=timezone.now() + AHEAD)
    assert list(BarImport.objects.overdue()) == [bar_import]


@pytest.fixture
def beat(tmp_path, monkeypatch):
    """A beat of one task, every five minutes; what it sends is listed."""
    app = Celery("beat", broker="memory://", set_as_current=False)
    app.conf.beat_schedule = {"sweep": {"task": "rhythms.tasks.sweep", "schedule": 300}}
    monkeypatch.setattr(sweeping, "_sweeps", {})
    monkeypatch.setattr(WatchedScheduler, "_watch", lambda self: None)
    scheduler = WatchedScheduler(app=app, schedule_filename=str(tmp_path / "beat"), max_interval=30)
    scheduler.sent = []
    monkeypatch.setattr(
        scheduler, "apply_async", lambda entry, **_: scheduler.sent.append(entry.name)
    )
    yield scheduler
    scheduler.close()


def seconds_to_its_turn(beat, entry) -> float:
    return beat._heap[0].time - beat._when(entry, 0)


def test_a_beat_whose_clock_was_ahead_has_its_turn_after_one_interval(beat):
    beat.tick()
    entry = beat.schedule["sweep"]
    entry.last_run_at = entry.default_now() + AHEAD
    beat.populate_heap()
    assert seconds_to_its_turn(beat, entry) > 300
    beat.tick()
    assert seconds_to_its_turn(beat, entry) <= 300


def test_a_beat_whose_turn_has_come_sends(beat):
    beat.tick()
    beat.schedule["sweep"].last_run_at -= timedelta(seconds=301)
    beat.populate_heap()
    beat.tick()
    assert beat.sent == ["sweep"]


def test_a_beat_keeps_its_turns_where_the_clock_is_right(beat):
    beat.tick()
    before = beat.schedule["sweep"].last_run_at
    beat.tick()
    assert (beat.schedule["sweep"].last_run_at, beat.sent) == (before, [])
