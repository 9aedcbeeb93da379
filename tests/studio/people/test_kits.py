"""The kits that students play."""

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from studio.models import Kit
from studio.models.kit import check_surfaces
from studio.removal import StillNeededError
from studio.surface_names import STANDARD_KIT, SURFACES

pytestmark = pytest.mark.django_db


@pytest.fixture
def pad(studio):
    return Kit.objects.create(studio=studio, name="Pad", surfaces=["snare"])


def code_of(surfaces):
    with pytest.raises(ValidationError) as caught:
        check_surfaces(surfaces)
    return caught.value.code


def test_a_kit_is_made_of_the_chosen_surfaces(teacher_client, studio):
    teacher_client.post(
        reverse("studio:kit-add"), {"name": "Small", "surfaces": ["snare", "bass drum"]}
    )
    assert studio.kits.get(name="Small").surfaces == ["snare", "bass drum"]


def test_a_kit_is_edited(teacher_client, pad):
    address = reverse("studio:kit-edit", args=[pad.pk])
    teacher_client.post(address, {"name": "Pad", "surfaces": ["snare", "crash"]})
    pad.refresh_from_db()
    assert pad.surfaces == ["snare", "crash"]


def test_a_surface_that_does_not_exist_is_named(teacher_client):
    response = teacher_client.post(reverse("studio:kit-add"), {"name": "Odd", "surfaces": ["gong"]})
    assert "gong" in response.context["form"].errors["surfaces"][0]


def test_two_kits_of_a_studio_cannot_have_one_name(teacher_client, pad):
    response = teacher_client.post(
        reverse("studio:kit-add"), {"name": "PAD", "surfaces": ["snare"]}
    )
    assert "already a kit" in response.context["form"].errors["name"][0]


@pytest.mark.parametrize(
    ("surfaces", "code"),
    [
        ("snare", "not-a-list"),
        ({"snare": 1}, "not-a-list"),
        (["gong"], "unknown-surface"),
        ([7], "unknown-surface"),
        ([["snare"]], "unknown-surface"),
        (["snare", "snare"], "surface-twice"),
        ([], "no-stick-surface"),
        (["bass drum"], "no-stick-surface"),
    ],
)
def test_surfaces_that_make_no_kit_are_refused(surfaces, code):
    assert code_of(surfaces) == code


def test_the_standard_kit_is_a_kit():
    check_surfaces(list(STANDARD_KIT))


def test_every_surface_may_be_on_a_kit():
    check_surfaces(list(SURFACES))


def test_a_kit_that_a_student_plays_cannot_be_removed(teacher_client, student):
    kit = student.kit
    response = teacher_client.post(reverse("studio:kit-remove", args=[kit.pk]))
    assert response.status_code == 409
    assert "Mira still plays it. Give them another kit first." in response.content.decode()
    kit.refresh_from_db()
    assert kit.removed_at is None


def test_a_refusal_names_those_who_play_the_kit(student, classmate):
    with pytest.raises(StillNeededError, match="Jonas and Mira still play it"):
        student.kit.remove()


def test_a_kit_that_nobody_plays_is_removed_and_brought_back(teacher_client, studio, pad):
    teacher_client.post(reverse("studio:kit-remove", args=[pad.pk]))
    assert list(studio.kits.kept().filter(name="Pad")) == []
    teacher_client.post(reverse("studio:kit-restore", args=[pad.pk]))
    assert list(studio.kits.kept().filter(name="Pad")) == [pad]


def test_a_removed_student_does_not_hold_a_kit(student):
    student.remove()
    student.kit.remove()
    assert student.kit.removed_at is not None


def test_the_list_costs_the_same_for_many_kits(teacher_client, studio, django_assert_num_queries):
    for number in range(20):
        Kit.objects.create(studio=studio, name=f"Kit {number}")
    # session, teacher, studio, kits and their number
    with django_assert_num_queries(5):
        teacher_client.get(reverse("studio:kits"))


def test_a_kit_is_shown_as_drummers_call_its_drums(teacher_client, studio):
    studio.kits.create(name="Rim", surfaces=["snare", "cross-stick"])
    page = teacher_client.get(reverse("studio:kits")).content.decode()
    assert "snare, rim click" in page
    form = teacher_client.get(reverse("studio:kit-add")).content.decode()
    assert "Rim click" in form
    assert 'value="cross-stick"' in form


def test_a_way_of_striking_is_no_part_of_a_kit():
    assert code_of(["snare", "rim shot"]) == "unknown-surface"
