"""A student may send many takes, and not without end; none that is refused is lost."""

import uuid
from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from assignments.models import Take
from assignments.takes import take_limits
from tests.assignments.making import strokes_of
from tests.assignments.takes.test_take_store import midi_file

pytestmark = pytest.mark.django_db


def have(student, number: int, *, minutes_ago: float = 5, **details) -> list[Take]:
    """Give the student takes that were sent then."""
    details = {"state": Take.State.DONE, "analysed_at": timezone.now()} | details
    takes = Take.objects.bulk_create(
        Take(student=student, source=Take.Source.PADS, seconds=1, day=timezone.localdate())
        for _ in range(number)
    )
    sent_at = timezone.now() - timedelta(minutes=minutes_ago)
    Take.objects.filter(pk__in=[take.pk for take in takes]).update(created_at=sent_at, **details)
    return takes


def record(client, id: uuid.UUID | None = None):
    take = {"id": str(id or uuid.uuid4()), "source": "pads", "events": [[0, 38, 90]]}
    return client.post(reverse("assignments:api-takes"), take, content_type="application/json")


@pytest.fixture
def at_the_limit(student):
    have(student, take_limits.LIMITS[take_limits.HOUR])


def test_one_below_the_limit_is_kept(student, student_client):
    have(student, take_limits.LIMITS[take_limits.HOUR] - 1)
    assert record(student_client).status_code == 201


def test_one_beyond_is_refused_and_says_from_when_on_it_can_be_sent(at_the_limit, student_client):
    answer = record(student_client)
    assert answer.status_code == 429
    (error,) = answer.json()["id"]
    assert error["code"] == "too-many"
    assert "The next one can be sent at " in error["message"].replace("tomorrow at", "at")


def test_one_that_is_refused_is_not_kept(at_the_limit, student_client):
    before = Take.objects.count()
    record(student_client)
    assert Take.objects.count() == before


def test_one_that_is_kept_already_may_be_sent_again(student, student_client):
    id = uuid.uuid4()
    record(student_client, id)
    have(student, take_limits.LIMITS[take_limits.HOUR])
    assert record(student_client, id).status_code == 200


def test_it_is_kept_once_the_hour_is_over(student, student_client):
    have(student, take_limits.LIMITS[take_limits.HOUR], minutes_ago=61)
    assert record(student_client).status_code == 201


def test_takes_that_a_clock_dated_ahead_do_not_count(student, student_client):
    have(student, take_limits.LIMITS[take_limits.DAY], minutes_ago=-9 * 24 * 60)
    have(student, take_limits.LIMITS[take_limits.HOUR] - 1)
    assert record(student_client).status_code == 201
    assert record(student_client).status_code == 429


def test_removing_takes_makes_no_room(student, student_client):
    have(student, take_limits.LIMITS[take_limits.HOUR], removed_at=timezone.now())
    assert record(student_client).status_code == 429


def test_takes_of_a_classmate_count_for_the_classmate(classmate, student_client):
    have(classmate, take_limits.LIMITS[take_limits.HOUR])
    assert record(student_client).status_code == 201


def test_the_next_waits_while_many_are_still_to_be_looked_at(student, student_client):
    new = {"state": Take.State.WAITING, "analysed_at": None}
    have(student, take_limits.MOST_WAITING, **new)
    answer = record(student_client)
    assert answer.status_code == 429
    assert "as soon as one of them is done" in answer.json()["id"][0]["message"]


def test_takes_that_are_looked_at_once_more_hold_up_nothing(student, student_client):
    have(student, take_limits.MOST_WAITING, state=Take.State.WAITING)
    assert record(student_client).status_code == 201


def test_the_page_of_files_says_it_too(at_the_limit, student_client, variation):
    data = midi_file(strokes_of(variation.as_fill, 92), 92)
    sent = {"file": SimpleUploadedFile("take.mid", data), "meter": "4/4"}
    page = student_client.post(reverse("assignments:take-upload"), sent)
    assert page.status_code == 429
    assert "many takes in a short time" in page.content.decode()


def test_a_bar_entered_in_the_lesson_stays_in_the_form(
    at_the_limit, student, teacher_client, variation
):
    page = reverse("assignments:lesson-take", args=[student.pk])
    form = teacher_client.get(page).context["form"]
    cell = next(name for name in form.fields if name.startswith("at-"))
    answer = teacher_client.post(page, {"tempo": 90, "times": 1, cell: "snare"})
    assert answer.status_code == 422
    assert "many takes in a short time" in answer.content.decode()
    assert answer.context["form"][cell].value() == "snare"
