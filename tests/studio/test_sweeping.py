"""What is over is swept out: by the beat, or by a page where there is no beat."""

from datetime import timedelta

import pytest
from django.contrib.sessions.models import Session
from django.core.signals import request_finished
from django.urls import reverse
from django.utils import timezone

from studio import sweeping
from studio.beside_pages import WITHOUT_A_BEAT, BesidePages
from studio.models import LastSweep, SentForm
from studio.sweeping import EVERY
from studio.tasks import sweep, sweep_all

pytestmark = pytest.mark.django_db


def session(key: str, hours: int) -> None:
    Session.objects.create(
        session_key=key, session_data="", expire_date=timezone.now() + timedelta(hours=hours)
    )


@pytest.fixture
def sessions():
    """One that is over, and one in which somebody is signed in."""
    session("over", -1)
    session("signed in", 1)


def kept_sessions() -> set[str]:
    return set(Session.objects.values_list("session_key", flat=True))


def test_sessions_that_are_over_are_forgotten(sessions):
    sweep_all()
    assert kept_sessions() == {"signed in"}


def test_a_form_is_known_again_for_a_day(teacher):
    now = timezone.now()
    for digest, hours in {"old": 25, "new": 23}.items():
        SentForm.objects.create(
            digest=digest, teacher=teacher, sent_at=now - timedelta(hours=hours)
        )
    sweep_all()
    assert [form.digest for form in SentForm.objects.all()] == ["new"]


def test_each_sweep_can_be_found():
    for path in sweeping.registered():
        sweep(path)


def test_one_that_fails_holds_up_no_other(sessions, monkeypatch):
    monkeypatch.setattr(sweeping, "_sweeps", {"math.sqrt": EVERY, **sweeping._sweeps})
    sweep_all()
    assert kept_sessions() == {"signed in"}


def test_what_only_another_version_has_is_nothing_to_do():
    sweep("studio.sweeping.of_another_version")


class TestWithoutABeat:
    @pytest.fixture
    def asked(self):
        return []

    @pytest.fixture
    def beside(self, settings, asked):
        settings.SWEEP_BESIDE_PAGES = True
        return BesidePages(lambda: asked.append("sweep"))

    def test_a_page_asks(self, beside, asked):
        beside()
        assert asked == ["sweep"]

    def test_each_process_looks_once_in_a_while(self, beside, asked, django_assert_num_queries):
        beside()
        with django_assert_num_queries(0):
            beside()
        assert asked == ["sweep"]

    def test_of_all_processes_one_asks(self, beside, asked):
        beside()
        BesidePages(lambda: asked.append("another"))()
        assert asked == ["sweep"]

    def test_a_page_leaves_it_to_a_beat_that_is_there(self, beside, asked):
        LastSweep.objects.create(pk=1, at=timezone.now() - EVERY)
        beside()
        assert asked == []

    def test_a_beat_that_has_something_swept_is_there(self, beside, asked):
        LastSweep.objects.create(pk=1, at=timezone.now() - WITHOUT_A_BEAT)
        sweep("studio.sweeping.discard_expired_sessions")
        beside()
        assert asked == []

    def test_a_page_asks_once_the_beat_is_gone(self, beside, asked):
        LastSweep.objects.create(pk=1, at=timezone.now() - WITHOUT_A_BEAT)
        beside()
        assert asked == ["sweep"]

    def test_a_clock_that_was_set_back_puts_nothing_off(self, beside, asked):
        LastSweep.objects.create(pk=1, at=timezone.now() + timedelta(days=1))
        beside()
        assert asked == ["sweep"]

    def test_any_page_will_do(self, settings, sessions, client, monkeypatch):
        settings.SWEEP_BESIDE_PAGES = True
        of_pages = [one for _, one, *_ in request_finished.receivers]
        (beside,) = [one for one in of_pages if isinstance(one, BesidePages)]
        monkeypatch.setattr(beside, "next_look", 0.0)
        client.get(reverse("studio:landing"))
        assert kept_sessions() == {"signed in"}
