"""What a supervisor is told of the parts of a studio, and Prometheus of its numbers."""

import shutil
from datetime import timedelta

import pytest
from django.core.cache import cache
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from prometheus_client.parser import text_string_to_metric_families

from rhythms.models import Rendering
from studio.models import AccountMail
from studio.operations import heartbeat
from tests.cast import signed_in_student

TOKEN = "long and random"


@pytest.fixture(autouse=True)
def _of_one_process(settings):
    settings.REDIS_URL = ""


@pytest.fixture
def health(client):
    return lambda: client.get(reverse("studio:health"))


@pytest.fixture
def metrics(settings, db):
    """The value of each number, by its name and labels."""
    settings.METRICS_TOKEN = TOKEN

    def asked() -> dict[tuple[str, ...], float]:
        client = Client(headers={"Authorization": f"Bearer {TOKEN}"})
        text = client.get(reverse("studio:metrics")).content.decode()
        return {
            (sample.name, *sample.labels.values()): sample.value
            for family in text_string_to_metric_families(text)
            for sample in family.samples
        }

    return asked


@pytest.mark.django_db
def test_a_studio_of_one_process_is_well_without_broker_and_worker(health):
    answer = health()
    assert answer.status_code == 200
    assert answer.json() == {
        "status": "ok",
        "parts": {
            "process": "ok",
            "database": "ok",
            "broker": "not used",
            "worker": "not used",
            "disk": "ok",
        },
    }


@pytest.mark.django_db
def test_asking_after_the_health_is_one_query(client, django_assert_num_queries):
    with django_assert_num_queries(1):
        client.get(reverse("studio:health"))


@pytest.mark.django_db
def test_a_folder_for_files_that_cannot_be_written_is_told_and_pages_are_served(health, settings):
    settings.MEDIA_ROOT = "/proc/self"  # nobody can make a file there, not even root
    answer = health()
    assert answer.status_code == 200
    assert answer.json()["parts"]["disk"] == "not writable"


@pytest.mark.services
@pytest.mark.django_db
class TestWithRedis:
    @pytest.fixture(autouse=True)
    def _uses_redis(self, _of_one_process, redis, settings):
        settings.REDIS_URL = redis.url

    def test_a_broker_that_is_away_is_told_and_pages_are_served(self, health, redis):
        redis.kill()
        answer = health()
        assert answer.status_code == 200
        assert answer.json()["status"] == "impaired"
        assert answer.json()["parts"]["broker"] == "away"

    def test_a_worker_that_was_never_heard_is_told(self, health):
        assert health().json()["parts"]["worker"].startswith("not heard of for a minute: ")

    def test_a_worker_that_was_heard_is_well(self, health):
        heartbeat.note_heard(heartbeat.unheard())
        assert health().json()["parts"]["worker"] == "ok"

    def test_each_queue_needs_a_worker(self, health, settings):
        settings.CELERY_TASK_ROUTES = {"a": {"queue": "quick"}, "b": {"queue": "slow"}}
        heartbeat.note_heard(["quick"])
        assert health().json()["parts"]["worker"] == "not heard of for a minute: slow"

    def test_what_was_heard_is_forgotten_after_a_minute(self, redis):
        heartbeat.note_heard(["slow"])
        (key,) = cache._cache.get_client().keys("*worker-heard-slow")
        assert cache._cache.get_client().ttl(key) == heartbeat.FORGOTTEN_AFTER == 60


def test_a_request_is_counted_under_its_address(metrics, client):
    counted = "django_http_requests_total_by_view_transport_method_total"
    name = (counted, "GET", "http", "studio:landing")
    before = metrics().get(name, 0)
    client.get(reverse("studio:landing"))
    assert metrics()[name] == before + 1


def test_what_waits_too_long_is_counted(metrics):
    asked_at = timezone.now() - timedelta(minutes=5)
    Rendering.objects.create(key="f" * 64, source={}, asked_at=asked_at)
    assert metrics()["fillwright_overdue", "renderings"] == 1


def test_mails_that_should_have_been_sent_are_counted(client, metrics):
    AccountMail.ask(AccountMail.About.FORGOTTEN, "ines@example.org", "http://testserver")
    assert metrics()["fillwright_overdue", "mails"] == 0
    AccountMail.objects.update(asked_at=timezone.now() - timedelta(minutes=11))
    assert metrics()["fillwright_overdue", "mails"] == 1


def test_the_parts_that_are_well_are_counted(metrics):
    assert metrics()["fillwright_up", "database"] == 1


def test_free_room_is_counted(metrics, tmp_path):
    total = shutil.disk_usage(tmp_path).total
    assert 0 < metrics()["fillwright_media_free_bytes",] < total


@pytest.mark.django_db
def test_without_a_token_nobody_gets_the_numbers(client):
    headers = {"Authorization": "Bearer "}
    assert client.get(reverse("studio:metrics"), headers=headers).status_code == 401


@pytest.mark.django_db
def test_a_wrong_token_gets_no_numbers(client, settings):
    settings.METRICS_TOKEN = TOKEN
    headers = {"Authorization": f"Bearer {TOKEN}er"}
    assert client.get(reverse("studio:metrics"), headers=headers).status_code == 401


def test_no_number_names_anybody(metrics, student, variation):
    signed_in_student(student).get(reverse("assignments:today"))
    names = " ".join(" ".join(name) for name in metrics())
    assert student.nickname not in names
    assert student.studio.name not in names
