"""A form that a student's device kept is taken once, however often it is sent."""

import uuid
from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from assignments.device_forms import forget_old
from assignments.models import DeviceForm, EntryChange, KitMap, MasteryEvent, PracticeEntry, Take
from studio.retention import DEVICE_FORM_REMEMBERED_FOR
from tests.assignments.making import logged, taken
from tests.permissions import ROWS, Row

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("one_cast")]


@pytest.fixture
def entry(student, variation, day) -> PracticeEntry:
    return logged(student, 5, day, variation)


@pytest.fixture
def send(student, student_client):
    """Post a form as a device does; a second call with the same id is a second try."""

    def post(name: str, *parts: object, typed: dict | None = None, form_id="", of=None):
        headers = {
            "X-Form-Id": str(form_id or uuid.uuid4()),
            "X-Form-Student": str((of or student).pk),
        }
        page = reverse(f"assignments:{name}", args=parts)
        return student_client.post(page, typed or {}, headers=headers)

    return post


def fields(entry: PracticeEntry, minutes: str) -> dict[str, str]:
    return {"minutes": minutes, "day": entry.day.isoformat()}


def test_what_is_taken_says_where_to_go(send, entry):
    answer = send("entry-edit", entry.pk, typed=fields(entry, "7"))
    assert answer.json() == {"to": reverse("assignments:my-log")}
    entry.refresh_from_db()
    assert entry.minutes == 7


def test_a_change_sent_again_does_not_undo_a_later_one(send, entry):
    first = uuid.uuid4()
    send("entry-edit", entry.pk, typed=fields(entry, "7"), form_id=first)
    send("entry-edit", entry.pk, typed=fields(entry, "8"))
    assert send("entry-edit", entry.pk, typed=fields(entry, "7"), form_id=first).status_code == 200
    entry.refresh_from_db()
    assert entry.minutes == 8


def test_a_removal_sent_again_after_it_was_undone_removes_nothing(send, entry):
    removal = uuid.uuid4()
    send("entry-remove", entry.pk, form_id=removal)
    send("entry-restore", entry.pk)
    assert send("entry-remove", entry.pk, form_id=removal).status_code == 200
    assert PracticeEntry.objects.kept().count() == 1


def test_a_removal_sent_again_is_no_missing_page(send, entry):
    removal = uuid.uuid4()
    answers = [send("entry-remove", entry.pk, form_id=removal) for _ in "12"]
    assert [answer.status_code for answer in answers] == [200, 200]
    assert EntryChange.objects.count() == 1


def test_a_fill_is_mastered_once(send, variation):
    press = uuid.uuid4()
    send("master", variation.pk, form_id=press)
    send("take-back", variation.pk)
    send("master", variation.pk, form_id=press)
    variation.refresh_from_db()
    assert variation.mastered_at is None
    assert MasteryEvent.objects.count() == 2


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("take-again", {}),
        ("take-tempo", {"said_tempo": "90"}),
        ("take-count", {"counted": "given"}),
        ("take-groove", {"groove": "style funk"}),
        ("take-remove", {}),
    ],
)
def test_forms_of_a_take_are_taken_once(send, student, variation, name, typed):
    take, form_id = taken(student, variation), uuid.uuid4()
    answers = [send(name, take.pk, typed=typed, form_id=form_id) for _ in "12"]
    assert [answer.status_code for answer in answers] == [200, 200]
    assert DeviceForm.objects.get().pk == form_id


def test_a_kit_is_learnt_from_a_kept_form(send, student):
    assert send("kit-map", typed={"key-99": "snare"}).status_code == 200
    assert KitMap.objects.get(student=student).surfaces[99] == "snare"


def test_what_is_refused_is_no_success_and_may_be_sent_again(send, entry):
    form_id = uuid.uuid4()
    refused = send("entry-edit", entry.pk, typed=fields(entry, "999"), form_id=form_id)
    assert refused.status_code == 422
    assert "minutes" in refused.content.decode()
    assert not DeviceForm.objects.exists()
    send("entry-edit", entry.pk, typed=fields(entry, "9"), form_id=form_id)
    entry.refresh_from_db()
    assert entry.minutes == 9


def test_a_file_that_is_none_is_refused(send):
    file = SimpleUploadedFile("take.mid", b"not a MIDI file")
    answer = send("take-upload", typed={"file": file, "meter": "4/4"})
    assert answer.status_code == 422
    assert not Take.objects.exists()


def test_what_another_student_kept_is_not_taken(send, entry, classmate):
    assert send("entry-remove", entry.pk, of=classmate).status_code == 401
    assert PracticeEntry.objects.kept().count() == 1


def test_an_id_that_is_none_is_said_to_be_none(send, entry):
    assert send("entry-remove", entry.pk, form_id="seven").status_code == 400


def test_a_form_without_an_id_is_answered_as_ever(student_client, entry):
    page = reverse("assignments:entry-remove", args=[entry.pk])
    assert student_client.post(page).status_code == 302


def test_ids_are_forgotten_when_no_device_sends_them_any_more(send, entry):
    send("entry-remove", entry.pk)
    forget_old()
    assert DeviceForm.objects.exists()
    DeviceForm.objects.update(at=timezone.now() - DEVICE_FORM_REMEMBERED_FOR - timedelta(days=1))
    forget_old()
    assert not DeviceForm.objects.exists()


#: Forms of students with a way of their own: the queue of the log, and reminders, for which the
#: browser itself needs its network.
NOT_BY_ITSELF = {
    "assignments:log",
    "assignments:reminder",
    "assignments:reminder-calendar",
    "assignments:reminder-off",
}


def forms_of_students() -> list[Row]:
    rows = [row for row in ROWS if row.name.startswith("assignments:") and not row.api]
    own = [row for row in rows if "POST" in row.methods and "student" in row.who]
    return [row for row in own if row.name not in NOT_BY_ITSELF]


@pytest.mark.parametrize("row", forms_of_students(), ids=lambda row: row.name)
def test_every_form_of_a_student_is_sent_once(row, request, student_client, student):
    parts = [request.getfixturevalue(part).pk for part in row.parts]
    headers = {"X-Form-Id": "none", "X-Form-Student": str(student.pk)}
    answer = student_client.post(reverse(row.name, args=parts), headers=headers)
    assert answer.content.decode() == "X-Form-Id is not a UUID."
