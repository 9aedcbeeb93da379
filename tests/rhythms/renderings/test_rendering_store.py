"""Engravings: made once for each content, by the worker, and again if they are lost."""

from datetime import timedelta
from pathlib import Path

import pytest
from django.core.files.storage import default_storage
from django.core.management import call_command
from django.db import transaction
from django.utils import timezone

from rhythms import tasks
from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.engine.fills.fill import snare_fill
from rhythms.models import Rendering
from rhythms.renderings import rendering_maker, rendering_store
from rhythms.renderings.rendering_store import (
    ask_again,
    key_of,
    markup,
    rendering_for,
    renderings_for,
)

pytestmark = pytest.mark.django_db
State = Rendering.State

BAR = Bar.from_counts("1 & 2 e & a 3 & 4 e & a")
FILL = snare_fill(BAR)


def on_one(surface: Surface) -> Fill:
    return Fill(BAR, tuple(Stroke(surface) for _ in BAR.sounded))


def stored_files(settings) -> list[Path]:
    return [path for path in Path(settings.MEDIA_ROOT).rglob("*") if path.is_file()]


@pytest.fixture
def committing(django_capture_on_commit_callbacks):
    """Run what waits for the commit, as a request outside a test would."""
    return lambda: django_capture_on_commit_callbacks(execute=True)


@pytest.fixture
def rendering(committing):
    with committing():
        rendering = rendering_for(FILL)
    rendering.refresh_from_db()
    return rendering


class TestAsking:
    def test_a_rendering_waits_until_the_transaction_is_through(self, committing):
        with committing() as callbacks, transaction.atomic():
            assert rendering_for(FILL).state == State.WAITING
        assert len(callbacks) == 1

    def test_it_is_made_on_commit(self, rendering):
        assert rendering.state == State.DONE
        assert markup(rendering).startswith("<svg")

    def test_the_same_content_is_shared(self, rendering, committing):
        with committing() as callbacks:
            again = rendering_for(FILL)
        assert again == rendering
        assert callbacks == []

    def test_the_same_content_is_stored_once(self, rendering, settings):
        renderings_for([FILL, FILL])
        assert len(stored_files(settings)) == 1

    def test_other_content_has_another_address(self):
        fills = [FILL, on_one(Surface.RIDE)]
        assert len({made.key for made in renderings_for(fills)}) == 2

    def test_the_count_line_below_makes_another_content(self, rendering):
        assert rendering_for(FILL, counts=True).key != rendering.key

    def test_the_address_is_a_sha_256_in_hex(self, rendering):
        assert len(rendering.key) == 64
        assert int(rendering.key, 16)

    def test_the_address_follows_from_the_stored_source(self, rendering):
        assert key_of(rendering.source) == rendering.key

    def test_many_come_in_the_order_asked(self):
        fills = [on_one(surface) for surface in (Surface.RIDE, Surface.SNARE, Surface.CRASH)]
        assert [made.fill for made in renderings_for(fills)] == fills

    def test_many_that_are_made_cost_one_query(self, django_assert_num_queries):
        fills = [on_one(surface) for surface in list(Surface)[:8]]
        renderings_for(fills)
        with django_assert_num_queries(1):
            renderings_for(fills)

    def test_no_fills_need_nothing(self):
        assert renderings_for([]) == []

    def test_ids_on_a_page_never_meet(self, rendering, committing):
        with committing():
            other = rendering_for(on_one(Surface.RIDE))
        other.refresh_from_db()
        prefix = f'id="r{rendering.key[:12]}'
        assert prefix in markup(rendering)
        assert prefix not in markup(other)


@pytest.mark.django_db(transaction=True)
def test_a_broker_that_is_away_breaks_nothing(monkeypatch):
    def away(key):
        raise ConnectionError("no broker")

    monkeypatch.setattr(tasks.render, "delay", away)
    assert rendering_for(FILL).state == State.WAITING


@pytest.mark.django_db(transaction=True)
def test_without_a_broker_it_is_made_before_the_page_needs_it():
    assert rendering_for(FILL).state == State.DONE


def test_another_way_of_drawing_has_another_address(monkeypatch):
    source = {"fill": FILL.to_json(), "counts": False}
    now = key_of(source)
    monkeypatch.setattr(rendering_store, "engraving_version", lambda source: "drawn otherwise")
    assert key_of(source) != now


class TestLostFiles:
    @pytest.fixture
    def lost(self, rendering):
        default_storage.delete(rendering.file.name)
        return rendering

    def test_a_lost_file_is_noticed(self, lost):
        assert markup(lost) is None
        assert lost.state == State.WAITING

    def test_a_lost_file_is_made_again(self, lost, committing):
        with committing():
            markup(lost)
        lost.refresh_from_db()
        assert markup(lost).startswith("<svg")

    def test_it_is_the_same_again(self, rendering, committing):
        before = markup(rendering)
        default_storage.delete(rendering.file.name)
        with committing():
            markup(rendering)
        rendering.refresh_from_db()
        assert markup(rendering) == before

    def test_the_worker_makes_a_done_one_again_if_its_file_is_gone(self, lost):
        tasks.render(lost.key)
        lost.refresh_from_db()
        assert default_storage.exists(lost.file.name)


class TestTheWorker:
    def test_a_second_time_changes_nothing(self, rendering, settings):
        before = (rendering.file.name, rendering.rendered_at)
        tasks.render(rendering.key)
        rendering.refresh_from_db()
        assert (rendering.file.name, rendering.rendered_at) == before
        assert len(stored_files(settings)) == 1

    def test_an_unknown_key_is_nothing_to_do(self):
        tasks.render("0" * 64)
        assert not Rendering.objects.exists()

    def test_the_slower_of_two_workers_leaves_no_file_behind(self, settings, monkeypatch):
        rendering = rendering_for(FILL)
        draw = rendering_maker.draw

        def overtaken(slow: Rendering) -> str:
            monkeypatch.setattr(rendering_maker, "draw", draw)
            rendering_maker.make(slow.key)
            return draw(slow)

        monkeypatch.setattr(rendering_maker, "draw", overtaken)
        rendering_maker.make(rendering.key)
        rendering.refresh_from_db()
        assert [path.name for path in stored_files(settings)] == [Path(rendering.file.name).name]


class TestFailing:
    @pytest.fixture
    def failed(self):
        """A rendering of a fill that cannot be read: its last stroke is missing."""
        source = {"fill": FILL.to_json(), "counts": False}
        source["fill"]["strokes"].pop()
        rendering = Rendering.objects.create(key=key_of(source), source=source)
        rendering_maker.make(rendering.key)
        rendering.refresh_from_db()
        return rendering

    def test_a_failure_is_kept_with_its_reason(self, failed):
        assert failed.state == State.FAILED
        assert failed.error == ("This bar has 12 notes to strike; 11 strokes were given.")

    def test_there_is_nothing_to_show(self, failed):
        assert markup(failed) is None

    def test_trying_again_makes_it_once_the_cause_is_gone(self, monkeypatch, committing):
        rendering = rendering_for(FILL)
        with monkeypatch.context() as broken:
            broken.setattr(rendering_maker, "draw", lambda _: 1 / 0)
            rendering_maker.make(rendering.key)
        rendering.refresh_from_db()
        assert rendering.error == "The engraver stopped with an error (ZeroDivisionError)."
        with committing():
            ask_again(rendering)
        rendering.refresh_from_db()
        assert (rendering.state, rendering.error) == (State.DONE, "")

    def test_a_sweep_leaves_it_to_a_person(self, failed):
        assert tasks.sweep() == 0

    def test_a_sweep_tries_it_when_asked_to(self, failed, capsys):
        call_command("sweep", failed=True)
        assert capsys.readouterr().out == "Asked for 1 engraving.\n"

    def test_one_that_fails_leaves_what_another_worker_has_made(self, rendering):
        rendering_maker._fail(rendering.key, "The engraver stopped.")
        rendering.refresh_from_db()
        assert (rendering.state, rendering.error) == (State.DONE, "")


class TestSweeping:
    @pytest.fixture
    def forgotten(self):
        """Asked for an hour ago, and never made."""
        rendering = rendering_for(FILL)
        rendering.asked_at = timezone.now() - timedelta(hours=1)
        rendering.save()
        return rendering

    def test_what_was_forgotten_is_made(self, forgotten):
        assert tasks.sweep() == 1
        forgotten.refresh_from_db()
        assert forgotten.state == State.DONE

    def test_what_a_sweep_has_asked_for_is_left_to_its_worker(self, forgotten, monkeypatch):
        """The queue is long: the worker has not come to it yet."""
        monkeypatch.setattr(tasks.render, "delay", lambda key: None)
        assert tasks.sweep() == 1
        assert tasks.sweep() == 0

    def test_what_was_just_asked_for_is_left_to_its_worker(self):
        rendering_for(FILL)
        assert tasks.sweep() == 0

    def test_a_page_that_needs_it_asks_again_too(self, forgotten, committing):
        with committing() as callbacks:
            rendering_for(FILL)
        assert len(callbacks) == 1

    def test_the_command_says_how_many(self, forgotten, capsys):
        call_command("sweep")
        assert capsys.readouterr().out == "Asked for 1 engraving.\n"


class TestOutliving:
    @pytest.fixture
    def old(self, rendering):
        """Made, and last wanted 31 days ago."""
        rendering.asked_at = timezone.now() - timedelta(days=31)
        rendering.save()
        return rendering

    def test_what_nothing_shows_is_swept_out_with_its_file(self, old, settings, committing):
        with committing():
            tasks.sweep()
        assert not Rendering.objects.exists()
        assert not stored_files(settings)

    def test_what_is_wanted_again_stays(self, old):
        rendering_for(FILL)
        assert rendering_maker.discard_outlived() == 0

    def test_that_it_is_wanted_is_noted_once_and_costs_nothing_later(
        self, old, django_assert_num_queries
    ):
        with django_assert_num_queries(3):
            rendering_for(FILL)
        with django_assert_num_queries(1):
            assert rendering_for(FILL).state == State.DONE

    def test_one_that_a_sweep_just_took_is_asked_for_anew(self, old, monkeypatch, committing):
        noted = type(Rendering.objects.all()).note_wanted

        def too_late(objects, keys):
            found = noted(objects, keys)
            Rendering.objects.all().delete()
            return found

        monkeypatch.setattr(type(Rendering.objects), "note_wanted", too_late)
        with committing() as callbacks:
            assert rendering_for(FILL).state == State.WAITING
        assert len(callbacks) == 2  # the old file goes, the worker is told
