"""Adding, editing and removing students."""

import pytest
from django.contrib.messages import get_messages
from django.urls import reverse

from studio.models import Student
from tests import cast

pytestmark = pytest.mark.django_db


@pytest.fixture
def details(studio):
    return {
        "nickname": "Lotte",
        "handedness": "left",
        "kit": studio.kits.get().pk,
        "level": "advanced",
        "lesson_weekday": "6",
        "mixing": "mixed",
    }


def add(client, details):
    return client.post(reverse("studio:student-add"), details)


def remove(client, student):
    return client.post(reverse("studio:student-remove", args=[student.pk]))


def listed(client):
    students = client.get(reverse("studio:students")).context["page"]
    return [student.nickname for student in students]


def test_a_student_is_added_to_the_teachers_studio(teacher_client, studio, details):
    add(teacher_client, details)
    student = studio.students.get()
    assert (student.nickname, student.handedness, student.level) == ("Lotte", "left", "advanced")
    assert student.get_lesson_weekday_display() == "Sunday"


def test_a_lesson_day_may_be_left_open(teacher_client, studio, details):
    add(teacher_client, details | {"lesson_weekday": ""})
    assert studio.students.get().lesson_weekday is None


def test_two_students_of_a_studio_cannot_have_one_nickname(teacher_client, student, details):
    response = add(teacher_client, details | {"nickname": "mira"})
    assert response.context["form"].errors["nickname"] == [
        "There is already a student “mira”. Add a letter or a word to tell them apart."
    ]


def test_a_nickname_of_another_studio_is_free(teacher_client, studio, other_student, details):
    add(teacher_client, details | {"nickname": other_student.nickname})
    assert studio.students.get().nickname == other_student.nickname


def test_the_kit_of_another_studio_cannot_be_chosen(teacher_client, other_studio, details):
    response = add(teacher_client, details | {"kit": other_studio.kits.get().pk})
    assert "kit" in response.context["form"].errors


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("nickname", ""),
        ("nickname", "x" * 41),
        ("handedness", "both"),
        ("kit", "standard"),
        ("kit", "99999999999999999999"),
        ("level", "star"),
        ("lesson_weekday", "7"),
        ("mixing", "shaken"),
    ],
)
def test_a_wrong_value_has_an_error_beside_its_field(teacher_client, details, field, value):
    response = add(teacher_client, details | {field: value})
    assert list(response.context["form"].errors) == [field]
    assert not Student.objects.exists()


def test_editing_changes_the_student(teacher_client, student, details):
    teacher_client.post(reverse("studio:student-edit", args=[student.pk]), details)
    student.refresh_from_db()
    assert student.nickname == "Lotte"


def test_a_student_who_is_back_may_keep_a_kit_that_was_removed_since(
    teacher_client, student, details
):
    student.remove()
    student.kit.remove()
    student.restore()
    teacher_client.post(reverse("studio:student-edit", args=[student.pk]), details)
    student.refresh_from_db()
    assert student.nickname == "Lotte"


def test_removing_asks_first(teacher_client, student):
    teacher_client.get(reverse("studio:student-remove", args=[student.pk]))
    assert listed(teacher_client) == ["Mira"]


def test_a_removed_student_is_not_listed(teacher_client, student):
    remove(teacher_client, student)
    assert listed(teacher_client) == []


def test_a_removed_student_has_no_page(teacher_client, student):
    remove(teacher_client, student)
    response = teacher_client.get(reverse("studio:student-edit", args=[student.pk]))
    assert response.status_code == 404


def test_a_removed_student_is_signed_out_at_once(teacher_client, student, student_client):
    remove(teacher_client, student)
    assert student_client.get(reverse("studio:home"))["Location"] == reverse("studio:sign-in")


def test_the_message_offers_to_undo_the_removal(teacher_client, student):
    response = remove(teacher_client, student)
    [message] = get_messages(response.wsgi_request)
    assert message.extra_tags == reverse("studio:student-restore", args=[student.pk])


def test_undo_brings_a_student_back_as_often_as_it_is_pressed(teacher_client, student):
    remove(teacher_client, student)
    for _ in range(2):
        teacher_client.post(reverse("studio:student-restore", args=[student.pk]))
    assert listed(teacher_client) == ["Mira"]


def test_a_nickname_is_shown_as_text_never_as_markup(teacher_client, student):
    student.nickname = "<b>Mira</b>"
    student.save()
    page = teacher_client.get(reverse("studio:students")).content.decode()
    assert "&lt;b&gt;Mira&lt;/b&gt;" in page
    assert "<b>Mira" not in page


def test_the_list_costs_the_same_for_many_students(
    teacher_client, studio, student, django_assert_num_queries
):
    for number in range(20):
        cast.add_student(studio, f"Student {number}")
    # session, teacher, studio, students and their number
    with django_assert_num_queries(5):
        teacher_client.get(reverse("studio:students"))


def test_students_are_listed_by_name_with_their_working_links(teacher_client, studio, student):
    cast.add_student(studio, "Anna")
    cast.signed_in_student(student)
    cast.signed_in_student(student)
    student.sign_in_links.first().revoke()
    students = teacher_client.get(reverse("studio:students")).context["page"]
    assert [(one.nickname, one.working_links) for one in students] == [("Anna", 0), ("Mira", 1)]
