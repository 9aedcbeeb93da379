"""One sentence stands over a take, for student and teacher, with the part to play again."""

import json
import re
from html import unescape

import pytest
from django.urls import reverse

from assignments.models import Take
from assignments.takes.take_advice import TIMES_ROUND, advice_of, part_json
from rhythms.engine.bars.feel import STRAIGHT
from rhythms.engine.fills.fill_part import part_around
from rhythms.renderings import rendering_maker
from tests.assignments.making import first_fill, strokes_of, taken

pytestmark = pytest.mark.django_db

TEMPO, LATE = 80, 60.0


def four_times(fill, *, late=None, without=None) -> list[list[float]]:
    """The fill four times on end, one note of it late in three, or left out in three."""
    bar = 60_000 / TEMPO * float(fill.bar.meter.length)
    events = []
    for time in range(4):
        for index, (ms, key, velocity) in enumerate(strokes_of(fill, TEMPO, time * bar)):
            if index == without and time:
                continue
            events.append([ms + (LATE if index == late and time else 0), key, velocity])
    return sorted(events)


@pytest.fixture
def late_take(student, variation):
    return taken(student, variation, events=four_times(variation.as_fill, late=4), seconds=12)


def page_of(client, take) -> str:
    return client.get(reverse("assignments:take", args=[take.pk])).content.decode()


def advised(page: str) -> str:
    return unescape(re.search(r'class="advice-said">(.*?)</p>', page)[1])


def test_student_and_teacher_read_the_same_sentence(late_take, student_client, teacher_client):
    said = advised(page_of(student_client, late_take))
    assert "came late in 3 of 4: play" in said
    assert advised(page_of(teacher_client, late_take)) == said


def test_the_part_to_play_again_is_slower_and_goes_round(late_take, student_client):
    page = page_of(student_client, late_take)
    block = json.loads(unescape(re.search(r'data-hear="([^"]*)"', page)[1]))
    along = json.loads(unescape(re.search(r'data-hear-along="([^"]*)"', page)[1]))
    assert 30 <= block["tempo"] < TEMPO
    assert (along["loops"], along["click"]) == (TIMES_ROUND, "beats")
    assert along["countIn"] * len(block["beats"]) >= 4
    assert block["bars"] == block["fillBars"]
    assert 4 in {sound["note"] for sound in block["fill"]}


def test_its_notes_are_marked_in_the_engraving(late_take, student_client):
    rendering_maker.make(late_take.variation.rendering.key)
    figure = re.search(r"advice-part.*?</figure>", page_of(student_client, late_take), re.DOTALL)[0]
    assert figure.count("played-again") == 1
    assert "played-around" in figure


def test_no_two_parts_of_the_page_have_one_id(late_take, student_client):
    rendering_maker.make(late_take.variation.rendering.key)
    ids = re.findall(r'\bid="([^"]+)"', page_of(student_client, late_take))
    assert len(ids) == len(set(ids))


def test_what_all_came_has_nothing_to_play_again(student, variation, student_client):
    take = taken(student, variation, events=four_times(variation.as_fill), seconds=12)
    page = page_of(student_client, take)
    assert advised(page).startswith("All of it came, 4 of 4 times, within 20 ms")
    assert "data-hear-along" not in page


def test_a_free_take_and_one_entered_in_the_lesson_have_no_advice(student, variation):
    free = taken(student, events=four_times(variation.as_fill), seconds=12)
    assert advice_of(free) is None
    entered = taken(student, variation, source=Take.Source.LESSON, seconds=3)
    assert advice_of(entered) is None


def test_the_part_sounds_with_the_numbers_of_the_whole_fill(assignment):
    fill = first_fill(assignment).as_fill
    part = part_around(fill, [len(fill.strokes) - 1])
    notes = [sound["note"] for sound in part_json(part, STRAIGHT)["fill"]]
    assert max(notes) == len(fill.strokes) - 1
    assert min(notes) == part.first
