"""Without a worker no page waits for the engraver: each drawing is made as it is asked for."""

import re

import pytest
from django.urls import reverse

from rhythms.models import Rendering
from rhythms.renderings import rendering_maker
from studio import task_queue
from tests.assignments.making import first_fill, give
from tests.assignments.pages import address

pytestmark = pytest.mark.django_db(transaction=True)
TODAY = reverse("assignments:today")


@pytest.fixture
def fill(student):
    """The first of three that were given; what is drawn for the stage is not made yet."""
    return first_fill(give(student, 3))


@pytest.fixture
def engraved(monkeypatch, fill):
    """What is engraved from now on."""
    keys, draw = [], rendering_maker.draw

    def noted(rendering):
        keys.append(rendering.key)
        return draw(rendering)

    monkeypatch.setattr(rendering_maker, "draw", noted)
    return keys


def waited_for(page: str) -> list[str]:
    """The addresses that a page asks for what it lacks."""
    return re.findall(r'aria-busy="true"[^>]*? (?:data-src|hx-get)="([^"]*)"', page)


@pytest.fixture(params=["Today", "a fill's page", "My fills"])
def page(request, student_client, engraved, fill):
    """A page as it first comes, where nothing but the fills was ever drawn."""
    Rendering.objects.filter(source__drawn="small").delete()
    addresses = {"Today": TODAY, "a fill's page": address("fill", fill)}
    found = addresses.get(request.param, reverse("assignments:my-fills"))
    return student_client.get(found).content.decode()


def test_the_page_comes_without_one(page, engraved):
    assert waited_for(page)
    assert engraved == []


def test_each_that_it_waits_for_is_engraved_by_asking_for_it_alone(page, student_client, engraved):
    for number, path in enumerate(dict.fromkeys(waited_for(page)), 1):
        answer = student_client.get(path)
        assert answer.status_code == 200, path
        assert "</svg>" in answer.content.decode()
        assert len(set(engraved)) == len(engraved) == number


def test_once_it_has_asked_for_them_the_next_page_brings_them_along(student_client, engraved):
    for path in waited_for(student_client.get(TODAY).content.decode()):
        student_client.get(path)
    again = student_client.get(TODAY).content.decode()
    assert waited_for(again) == []
    assert 'data-rows="' in again


def test_the_groove_that_is_played_first_is_asked_for_before_its_fill(student_client, fill):
    stage = student_client.get(TODAY).context["stage"]
    first = stage.session["items"][0]["block"]
    shown = stage.session["shown"][first]
    wanted = [one.key for one in stage.drawings if one.wanted]
    assert wanted[:5] == [
        *shown["groove"]["stage"],
        shown["groove"]["small"],
        *shown["fill"]["stage"],
    ]


def test_a_worker_is_asked_for_all_of_them_at_once(student_client, engraved, monkeypatch):
    told = []
    monkeypatch.setattr(task_queue, "has_worker", lambda: True)
    monkeypatch.setattr(task_queue, "enqueue_on_commit", lambda task, keys: told.extend(keys))
    stage = student_client.get(TODAY).context["stage"]
    missing = {one.key for one in stage.drawings if not one.svg}
    assert missing
    assert set(told) == missing


@pytest.fixture
def drawing(student_client, engraved):
    """One for the stage that waits, and its address."""
    [one, *_] = waited_for(student_client.get(TODAY).content.decode())
    return one, Rendering.objects.get(key=re.search(r"[0-9a-f]{64}", one)[0])


def test_one_that_cannot_be_engraved_is_not_asked_for_again(student_client, drawing):
    path, rendering = drawing
    Rendering.objects.filter(pk=rendering.pk).update(state=Rendering.State.FAILED)
    assert student_client.get(path).status_code == 404


def test_one_that_waits_for_room_on_the_disk_has_a_time_of_its_own(
    student_client, drawing, engraved
):
    path, rendering = drawing
    rendering.hold_up()
    assert student_client.get(path).status_code == 204
    assert engraved == []
