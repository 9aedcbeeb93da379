"""What the button beside a fill's name plays, fetched when it is touched."""

import pytest
from django.urls import reverse

from rhythms.notation.player import fill_json

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("one_cast")]


@pytest.mark.parametrize("who", ["student_client", "teacher_client"])
def test_student_and_teacher_get_the_fill_alone_at_the_tempo_asked_for(request, who, variation):
    answer = request.getfixturevalue(who).get(reverse("assignments:heard", args=[variation.pk]))
    alone = fill_json(variation.as_fill, variation.assignment.feel)
    assert answer.json() == alone | {"tempo": variation.assignment.tempo}


def test_a_removed_fill_is_not_heard(student_client, variation):
    variation.remove()
    answer = student_client.get(reverse("assignments:heard", args=[variation.pk]))
    assert answer.status_code == 404


def test_a_list_of_fills_carries_none_of_what_it_plays(teacher_client, student, assignment):
    page = teacher_client.get(reverse("assignments:student", args=[student.pk])).content.decode()
    for fill in assignment.variations.all():
        assert f'data-hear-from="{reverse("assignments:heard", args=[fill.pk])}"' in page
    assert "data-hear=" not in page
