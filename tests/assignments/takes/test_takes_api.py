"""How a page that records sends what it caught."""

import uuid

import pytest

from assignments.models import Take
from tests.assignments.making import strokes_of

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("one_cast")]
ADDRESS = "/api/takes/"


@pytest.fixture
def sent(variation):
    return {
        "id": str(uuid.uuid4()),
        "variation": variation.pk,
        "source": "web midi",
        "meter": "4/4",
        "tempo": 80,
        "click": {"tempo": 80, "start": 3000},
        "latency": 22.5,
        "seconds": 6,
        "events": strokes_of(variation.as_fill, 80, start=3022.5),
    }


def post(client, sent):
    return client.post(ADDRESS, sent, content_type="application/json")


def test_a_take_is_kept_and_says_where_it_is_shown(student_client, student, sent):
    answer = post(student_client, sent)
    take = Take.objects.get()
    assert (answer.status_code, answer.json()["url"]) == (201, f"/takes/{take.pk}/")
    assert (take.student, str(take.pk), take.latency) == (student, sent["id"], 22.5)


def test_sent_twice_it_is_kept_once(student_client, sent):
    assert [post(student_client, sent).status_code for _ in range(2)] == [201, 200]
    assert Take.objects.count() == 1


def test_another_take_under_the_same_id_is_a_conflict(student_client, sent):
    post(student_client, sent)
    answer = post(student_client, sent | {"events": [[0, 38, 90]]})
    assert answer.status_code == 409
    assert answer.json()["id"][0]["code"] == "taken-differently"


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("id", "no uuid"),
        ("source", "microphone"),
        ("meter", "4/x"),
        ("meter", "99/4"),
        ("tempo", 0),
        ("tempo", 999),
        ("click", {"tempo": 0, "start": 0}),
        ("click", "loud"),
        ("latency", 5000),
        ("seconds", -1),
        ("events", []),
        ("events", "none"),
        ("events", [[0, 38]]),
        ("events", [[0, 38, 90, 1]]),
        ("events", [[-5, 38, 90]]),
        ("events", [[0, 128, 90]]),
        ("events", [[0, 38, 200]]),
        ("events", [[1e12, 38, 90]]),
        ("events", [["a", "b", "c"]]),
        ("events", [{"ms": 1}]),
        ("events", [[0, 38, 90]] * 6001),
    ],
)
def test_what_cannot_be_is_refused_by_its_field_with_a_code(student_client, sent, field, value):
    answer = post(student_client, sent | {field: value})
    assert answer.status_code == 400
    assert list(answer.json()) == [field]
    assert all(error["code"] and error["message"] for error in answer.json()[field])
    assert not Take.objects.exists()


@pytest.mark.parametrize("body", [[], "text", 5, None])
def test_something_that_is_no_take_at_all_is_refused(student_client, body):
    assert post(student_client, body).status_code == 400


def test_a_take_of_another_students_fill_is_refused(classmate_client, sent):
    answer = post(classmate_client, sent)
    assert (answer.status_code, list(answer.json())) == (400, ["variation"])


def test_a_student_reads_their_takes_with_all_that_was_caught(student_client, take):
    (own,) = student_client.get(ADDRESS).json()
    assert (own["id"], own["events"]) == (str(take.pk), take.events)


def test_a_classmate_reads_nothing_of_it(classmate_client, take):
    assert classmate_client.get(ADDRESS).json() == []


@pytest.mark.parametrize(
    ("events", "words"),
    [
        ([], "There is no stroke in this take."),
        ([[0, 38, 90]] * 6001, "A take has up to 6,000 strokes."),
    ],
)
def test_too_few_and_too_many_strokes_are_refused_in_words_of_a_drummer(
    student_client, sent, events, words
):
    (error,) = post(student_client, sent | {"events": events}).json()["events"]
    assert error["message"] == words
