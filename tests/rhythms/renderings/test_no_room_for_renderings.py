"""A full disk: what is asked for waits, says so, and is there once there is room again."""

from datetime import timedelta

import pytest
from django.template import Context, Template
from django.urls import reverse
from django.utils import timezone

from rhythms import tasks
from rhythms.engine import Bar
from rhythms.engine.fills.fill import snare_fill
from rhythms.models import Rendering
from rhythms.models.rendering import FileOwner
from rhythms.notation.sheets import Exercise, Section, Sheet
from rhythms.renderings import rendering_maker
from rhythms.renderings.download_response import ticket_of
from rhythms.renderings.rendering_store import file_rendering, markup, rendering_for, sheet_file
from tests.full_disk import full_disk

pytestmark = pytest.mark.django_db

State = Rendering.State
NO_ROOM = "There is no room to keep this"


@pytest.fixture
def disk(tmp_path, settings):
    with full_disk(tmp_path / "disk") as disk:
        settings.MEDIA_ROOT = disk.folder
        yield disk


def tried(rendering: Rendering) -> Rendering:
    """Have the worker try once."""
    rendering_maker.make(rendering.key)
    rendering.refresh_from_db()
    return rendering


@pytest.fixture
def held(disk, bar):
    return tried(rendering_for(snare_fill(bar.bar)))


def its_turn(rendering: Rendering) -> None:
    """Let the time pass until it is tried again."""
    long_ago = timezone.now() - timedelta(hours=2)
    Rendering.objects.filter(pk=rendering.pk).update(asked_at=long_ago, retry_at=long_ago)


def test_it_waits_and_has_not_failed(held):
    assert (held.state, held.setbacks, held.error) == (State.WAITING, 1, "")


def test_nothing_half_written_is_left_over(held, disk):
    assert disk.files == []


def test_nothing_half_written_is_shown(held):
    assert markup(held) is None


def minutes_to_wait(held: Rendering) -> int:
    return round((held.retry_at - timezone.now()) / timedelta(minutes=1))


def test_each_time_is_counted_and_waits_twice_as_long_up_to_an_hour(held):
    waits = [minutes_to_wait(held)]
    for _ in range(7):
        its_turn(held)
        waits.append(minutes_to_wait(tried(held)))
    assert (held.setbacks, waits) == (8, [1, 2, 4, 8, 16, 32, 60, 60])


def test_it_never_waits_longer_than_an_hour(held):
    Rendering.objects.update(setbacks=500)
    assert minutes_to_wait(tried(Rendering.objects.get())) == 60


def test_a_sweep_leaves_it_until_its_turn(held):
    Rendering.objects.update(asked_at=timezone.now() - timedelta(hours=2))
    assert tasks.sweep() == 0


def test_a_sweep_makes_it_once_there_is_room(held, disk):
    disk.make_room()
    its_turn(held)
    assert tasks.sweep() == 1
    held.refresh_from_db()
    assert markup(held).startswith("<svg")


def test_once_it_is_made_nothing_is_held_against_it(held, disk):
    disk.make_room()
    tried(held)
    assert (held.state, held.setbacks, held.retry_at) == (State.DONE, 0, None)


def test_without_a_beat_the_page_makes_it_once_there_is_room(
    held, disk, django_capture_on_commit_callbacks
):
    disk.make_room()
    its_turn(held)
    with django_capture_on_commit_callbacks(execute=True):
        rendering_for(held.fill)
    held.refresh_from_db()
    assert held.state == State.DONE


def test_a_broken_fill_fails_for_good_also_after_it_waited(held, disk):
    disk.make_room()
    held.source["fill"]["strokes"].pop()
    held.save()
    assert (tried(held).state, held.setbacks) == (State.FAILED, 0)


class TestThePage:
    def test_it_says_that_there_is_no_room(self, held):
        page = Template("{% load notation %}{% notation rendering %}")
        assert NO_ROOM in page.render(Context({"rendering": held}))

    def test_one_that_waits_for_its_engraving_learns_it(self, held, teacher_client):
        answer = teacher_client.get(reverse("rhythms:rendering", args=[held.key]))
        assert NO_ROOM in answer.content.decode()

    def test_one_that_knows_it_is_told_nothing_new(self, held, teacher_client):
        address = reverse("rhythms:rendering", args=[held.key])
        assert teacher_client.get(f"{address}?held").status_code == 204

    def test_one_that_knows_it_gets_the_engraving_once_there_is_room(
        self, held, disk, teacher_client
    ):
        disk.make_room()
        tried(held)
        address = reverse("rhythms:rendering", args=[held.key])
        assert "<svg" in teacher_client.get(f"{address}?held").content.decode()

    def test_one_that_waits_for_a_file_says_that_there_is_no_room(
        self, disk, teacher_client, studio
    ):
        fill = snare_fill(Bar.from_counts("1 2 3 4"))
        sheet = Sheet("Line 4", (Section("On the snare", (Exercise("Fill 1", fill),)),))
        made = tried(file_rendering(sheet_file(sheet, "line 4"), FileOwner.of(studio)))
        ticket = ticket_of(made, "Line 4.pdf", studio)
        page = teacher_client.get(reverse("rhythms:file-state", args=[ticket]))
        assert NO_ROOM in page.content.decode()
