"""An engraving is seen by who has a fill that shows it, and by nobody else."""

import pytest
from django.urls import reverse

from rhythms.renderings.rendering_store import drawn_as
from tests.assignments.making import first_fill, give, make_bar

pytestmark = pytest.mark.django_db


@pytest.fixture
def assignment(student):
    """Of a bar that no other studio has."""
    return give(student, bar=make_bar(student.studio, "1 (e) & a 2 3 - & 4 e"))


@pytest.fixture(params=["page", "small", "stage-portrait"])
def address(request, assignment):
    [drawn] = drawn_as(request.param, [first_fill(assignment).rendering])
    return reverse("rhythms:rendering", args=[drawn.key])


# 204: it is theirs, and still being engraved.
@pytest.mark.parametrize("who", ["student", "teacher"])
def test_the_student_and_their_teacher_see_it(request, address, who):
    assert request.getfixturevalue(f"{who}_client").get(address).status_code == 204


@pytest.mark.parametrize("who", ["classmate", "other_student", "other_teacher"])
def test_others_do_not(request, address, who, studio):
    assert request.getfixturevalue(f"{who}_client").get(address).status_code == 404


def test_a_student_whose_fill_was_removed_sees_it_no_more(student_client, address, assignment):
    assignment.remove()
    assert student_client.get(address).status_code == 404
