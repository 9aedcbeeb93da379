"""Comfort zones that pages find out of date are asked of the worker, through a real Redis."""

import json

import pytest
from django.urls import reverse
from redis import Redis

from assignments.days import today_in
from assignments.models import KeptZone
from rhythms.engine.comfort import FEWEST
from tests.assignments.comfort_making import take_of, walk_down
from tests.assignments.pages import text

pytestmark = [pytest.mark.services, pytest.mark.django_db]
PAGES = ["assignments:roster", "assignments:comfort", "assignments:student-comfort"]


def waiting_in(redis) -> list[str]:
    """The names of the tasks that wait in Redis, whichever queue they are in."""
    client = Redis.from_url(redis.url)
    lists = [key for key in client.scan_iter() if client.type(key) == b"list"]
    messages = [json.loads(message) for key in lists for message in client.lrange(key, 0, -1)]
    return [message["headers"]["task"] for message in messages]


@pytest.fixture
def unseen(student):
    for _ in range(FEWEST):
        take_of(student, today_in(student.studio), [walk_down()])


@pytest.mark.parametrize("page", PAGES)
def test_a_page_asks_once_and_makes_no_zone_itself(
    page, redis, student, unseen, teacher_client, django_capture_on_commit_callbacks
):
    url = reverse(page, args=[student.pk] if page.startswith("assignments:student") else [])
    for _ in range(3):
        with django_capture_on_commit_callbacks(execute=True):
            answer = teacher_client.get(url)
    assert waiting_in(redis) == ["assignments.tasks.look_at_comfort_zones_of"]
    assert KeptZone.objects.exclude(day=None).count() == 0
    assert "Look at the takes" not in text(answer)


@pytest.mark.parametrize("page", PAGES)
def test_while_redis_is_away_a_page_shows_what_there_is(
    page, student, unseen, teacher_client, no_redis
):
    url = reverse(page, args=[student.pk] if page.startswith("assignments:student") else [])
    assert teacher_client.get(url).status_code == 200
