"""What is kept about a student is theirs to read and to take along."""

import json

import pytest
from django.apps import apps
from django.urls import reverse

from assignments.models import Take
from assignments.privacy.personal_data import PATHS
from studio.models import SignInLink
from tests.assignments.making import taken

pytestmark = pytest.mark.django_db
DOWNLOAD = reverse("assignments:about-me-download")


def downloaded(client) -> str:
    return b"".join(client.get(DOWNLOAD).streaming_content).decode()


def test_a_student_takes_along_everything_that_is_kept(student_client, student, take, entry):
    everything = json.loads(downloaded(student_client))
    assert everything["student"][0]["nickname"] == student.nickname
    assert everything["Take"][0]["events"] == take.events
    assert [one["id"] for one in everything["PracticeEntry"]] == [str(entry.pk)]


def test_a_download_holds_no_secret_and_nobody_else(student_client, student, classmate, take):
    secret = SignInLink.issue(student)
    taken(classmate, None, events=[[k * 200.0, 38, 80] for k in range(9)])
    text = downloaded(student_client)
    assert secret not in text
    assert "secret_hash" not in text
    assert len(json.loads(text)["Take"]) == 1


def test_whatever_is_about_a_student_is_shown_to_them():
    """Each model with a key to a student, or to something of theirs, has its path."""
    about = {"studio.Student", *PATHS}
    left_out = {
        model._meta.label
        for model in apps.get_models()
        for field in model._meta.concrete_fields
        if field.related_model and field.related_model._meta.label in about
    } - set(PATHS)
    assert left_out == set()


def test_what_is_taken_along_is_read_as_it_is_sent(
    student, student_client, day, django_assert_num_queries
):
    """All takes of a student with all their strokes would fill the memory of a web process."""
    Take.objects.bulk_create(
        Take(student=student, source="pads", seconds=1, day=day, events=[[0, 38, 90]])
        for _ in range(50)
    )
    parts = iter(student_client.get(DOWNLOAD).streaming_content)
    with django_assert_num_queries(1):
        assert student.nickname in next(part.decode() for part in parts if b"nickname" in part)
    assert max(map(len, parts)) < 2_000
