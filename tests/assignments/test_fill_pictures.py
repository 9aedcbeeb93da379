"""Small pictures in lists: drawn with the fill, or when a list asks; named as the fill is."""

import re

import pytest
from django.urls import reverse

from assignments.fill_pictures import picture_of_fill, with_pictures
from assignments.models import AssignedVariation
from rhythms.models import Rendering
from rhythms.notation.fill_text import description
from rhythms.renderings.rendering_maker import make
from tests.assignments.making import first_fill, give

pytestmark = pytest.mark.django_db


@pytest.fixture
def fill(student):
    return first_fill(give(student))


def small_ones():
    return Rendering.objects.filter(source__drawn="small")


def drawn(fill):
    for one in small_ones():
        make(one.key)
    return AssignedVariation.objects.select_related("assignment", "rendering").get(pk=fill.pk)


def test_it_is_asked_for_when_the_fill_is_given(fill):
    assert small_ones().count() == 3


def test_a_list_asks_for_what_is_not_there(fill):
    small_ones().delete()
    with_pictures([fill])
    assert small_ones().count() == 1


def test_it_is_called_by_the_fills_name_and_described_beat_by_beat(fill):
    shown = picture_of_fill(drawn(fill)).svg
    assert f"<title>{fill}</title>" in shown
    words = description(fill.rendering.fill).replace("&", "&amp;")
    assert f"<desc>{words}</desc>" in shown
    assert 'role="img"' in shown


def test_a_name_cannot_bring_markup_into_the_page(fill):
    fill.name = "<script>"
    assert "<script>" not in picture_of_fill(fill).svg


def test_its_room_is_there_before_it_is_drawn(fill):
    waiting, made = picture_of_fill(fill), picture_of_fill(drawn(fill))
    box = re.compile(r'viewBox="[^"]+"')
    assert (waiting.waits, made.waits) == (True, False)
    assert box.search(waiting.svg)[0] == box.search(made.svg)[0]


def test_one_that_waits_asks_again_until_it_is_there(student_client, fill):
    address = reverse("assignments:fill-picture", args=[fill.pk])
    assert f'hx-get="{address}"' in student_client.get(address).content.decode()
    drawn(fill)
    page = student_client.get(address).content.decode()
    assert "hx-get" not in page
    assert "<path" in page


def test_one_that_could_not_be_drawn_leaves_its_room(fill):
    small_ones().update(state=Rendering.State.FAILED)
    shown = picture_of_fill(fill)
    assert not shown.waits
    assert "<path" not in shown.svg


def test_many_are_asked_for_at_once(student, django_assert_num_queries):
    fills = list(give(student, 12).variations.select_related("assignment", "rendering"))
    with django_assert_num_queries(1):
        with_pictures(fills)
