"""Words are found whatever letters they have, on whatever database."""

import pytest
from django.urls import reverse

from studio.models import Student
from studio.pagination import found_in
from tests.cast import add_student

pytestmark = pytest.mark.django_db
PAGES = ["assignments:roster", "assignments:progress", "studio:students", "assignments:comfort"]


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("wanted", ["özge", "ÖZ", "Özge", "zg"])
def test_a_student_is_found_by_small_letters_and_by_capitals(teacher_client, studio, page, wanted):
    add_student(studio, "Özge")
    assert "Özge" in teacher_client.get(reverse(page), {"q": wanted}).content.decode()


def test_a_bar_is_found_so_too(teacher_client, studio):
    studio.bars.create(name="Übung", counts="1 2 3 4", meter="4/4")
    page = teacher_client.get(reverse("rhythms:bars"), {"q": "übung"}).content.decode()
    assert "Übung" in page


@pytest.mark.parametrize(
    ("nickname", "wanted", "is_found"),
    [
        ("50 % Bo", "50 %", True),
        ("50 % Bo", "5%B", False),
        ("a_b", "a_b", True),
        ("axb", "a_b", False),
        ("a\\b", "\\", True),
        ("(Bo)", "(bo", True),
        ("two\nlines", "o\nl", True),
    ],
)
def test_signs_stand_for_themselves(studio, nickname, wanted, is_found):
    add_student(studio, nickname)
    found = found_in(Student.objects.filter(studio=studio), wanted, "nickname")
    assert bool(found) is is_found


def test_a_name_that_differs_by_a_capital_alone_is_taken(teacher_client, studio):
    add_student(studio, "Özge")
    sent = {"nickname": "özge", "handedness": "right", "level": "beginner", "mixing": "mixed"}
    answer = teacher_client.post(
        reverse("studio:student-add"), sent | {"kit": studio.kits.get().pk, "lesson_weekday": ""}
    )
    assert "There is already a student" in answer.content.decode()
