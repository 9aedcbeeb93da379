"""Redis goes and comes back: pages work all the time, and use it again once it is there."""

import signal
from datetime import timedelta

import pytest
from django.core.cache import cache
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from redis import Redis

from assignments.takes.take_store import TakeInput, create_take
from rhythms.engine import Bar
from rhythms.engine.fills.fill import snare_fill
from rhythms.models import Rendering
from rhythms.renderings import rendering_store
from rhythms.tasks import sweep
from studio import task_queue
from studio.accounts.tasks import send_waiting_mails
from tests import cast, services
from tests.assignments.making import strokes_of
from tests.studio.operations.conftest import forget_failures

pytestmark = [pytest.mark.services, pytest.mark.django_db]

PASSWORD = cast.PASSWORD


def waiting_jobs(server: services.Service) -> int:
    with Redis.from_url(server.url) as client:
        names = [name for name in client.keys("*") if not name.startswith(b"_kombu")]
        return sum(client.llen(name) for name in names if client.type(name) == b"list")


def any_fill():
    return snare_fill(Bar.from_counts("1 & 2 & 3 & 4 &"))


def test_a_teacher_signs_in_without_redis(no_redis, teacher):
    form = {"username": teacher.email, "password": PASSWORD}
    assert Client().post(reverse("studio:sign-in"), form).status_code == 302


def test_guesses_at_a_password_are_counted_without_redis(no_redis, teacher):
    form = {"username": teacher.email, "password": "wrong"}
    answers = [Client().post(reverse("studio:sign-in"), form) for _ in range(11)]
    assert "Too many tries" not in answers[9].content.decode()
    assert "Too many tries" in answers[10].content.decode()


@pytest.mark.parametrize("page", ["studio:sign-up", "studio:forgotten"])
def test_a_mail_that_is_asked_for_without_redis_is_sent_once_it_is_back(
    page, redis, django_capture_on_commit_callbacks
):
    redis.kill()
    with django_capture_on_commit_callbacks(execute=True):
        answer = Client().post(reverse(page), {"email": "new@example.org"})
    assert answer.status_code == 302
    redis.start()
    forget_failures()
    send_waiting_mails()
    assert waiting_jobs(redis) == 1


def test_a_pdf_that_cannot_be_made_yet_says_that_it_waits(redis, teacher_client, assignment):
    redis.kill()
    task_queue.enqueue(sweep, [False])
    pdf = reverse("assignments:assignment-pdf", args=[assignment.pk])
    page = teacher_client.get(pdf, {"paper": "a4"}).content.decode()
    assert "It is made by itself later" in page


def test_a_take_that_cannot_be_looked_at_yet_says_that_it_is_kept(
    redis, student, student_client, variation, django_capture_on_commit_callbacks
):
    redis.kill()
    caught = TakeInput("pads", strokes_of(variation.as_fill, 80), tempo=80, variation=variation)
    with django_capture_on_commit_callbacks(execute=True):
        take, _ = create_take(student, caught)
    page = student_client.get(reverse("assignments:take", args=[take.pk])).content.decode()
    assert "Your take is kept" in page


def test_an_engraving_that_cannot_be_made_yet_says_that_it_comes(
    redis, student_client, variation, django_capture_on_commit_callbacks
):
    redis.kill()
    with django_capture_on_commit_callbacks(execute=True):
        rendering_store.ask_again(variation.rendering)
    page = student_client.get(reverse("assignments:fill", args=[variation.pk])).content.decode()
    assert "It comes by itself" in page


def test_an_engraving_that_the_broker_did_not_take_is_asked_for_by_the_next_sweep(
    redis, django_capture_on_commit_callbacks
):
    redis.kill()
    with django_capture_on_commit_callbacks(execute=True):
        rendering_store.rendering_for(any_fill())
    redis.start()
    forget_failures()
    Rendering.objects.update(asked_at=timezone.now() - timedelta(minutes=5))
    sweep()
    assert waiting_jobs(redis) == 1


def test_a_job_goes_to_the_broker_again_once_it_is_back(redis, django_capture_on_commit_callbacks):
    redis.kill()
    task_queue.enqueue(sweep, [False])
    redis.start()
    forget_failures()
    task_queue.enqueue(sweep, [False])
    assert waiting_jobs(redis) == 1


def test_many_jobs_ask_a_broker_that_is_away_once(redis, caplog):
    redis.kill()
    for _ in range(20):
        task_queue.enqueue(sweep, [False, False])
    assert [record.message.partition(":")[0] for record in caplog.records] == ["The broker is away"]


def test_the_shared_cache_is_used_again_once_it_is_back(redis):
    redis.kill()
    cache.set("key", "of the process")
    assert cache.get("key") == "of the process"
    redis.start()
    forget_failures()
    cache.set("key", "shared")
    with Redis.from_url(redis.url) as client:
        assert client.get(":1:key") is not None


def test_a_cache_that_was_started_anew_is_used_at_once(redis):
    cache.set("before", 1)
    redis.kill()
    redis.start()
    cache.set("after", 2)
    with Redis.from_url(redis.url) as client:
        assert client.exists(":1:after")


def test_a_cache_that_hangs_does_not_hang_the_page(redis, client):
    redis.process.send_signal(signal.SIGSTOP)
    try:
        cache.set("key", "of the process")
        assert cache.get("key") == "of the process"
    finally:
        redis.process.send_signal(signal.SIGCONT)


def test_a_broker_that_hangs_is_asked_once(redis):
    with Redis.from_url(redis.url) as client:
        before = client.info("stats")["total_connections_received"]
        redis.process.send_signal(signal.SIGSTOP)
        try:
            task_queue.enqueue(sweep, [False])
        finally:
            redis.process.send_signal(signal.SIGCONT)
        assert client.info("stats")["total_connections_received"] == before + 1
    assert task_queue.breaker.is_open
