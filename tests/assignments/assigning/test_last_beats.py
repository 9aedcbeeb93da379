"""Fills of the last beats of a bar: chosen on the page, kept, and played after groove."""

import pytest

from assignments.blocks import block_of
from assignments.comfort.playing_record import DrawnFrom, material_of
from assignments.models import Assignment
from assignments.takes.take_analysis import rules_of
from tests.assignments.assigning.test_assign_page import DRAW, PAGE, drawn
from tests.assignments.making import make_bar, make_rule_set

pytestmark = pytest.mark.django_db


@pytest.fixture
def filled(studio, student):
    return {
        "bar": make_bar(studio, counts="1 & 2 & 3 e & a 4").pk,
        "beats": "2",
        "rule_set": make_rule_set(studio, [], "Anything").pk,
        "students": [student.pk],
        "how_many": "3",
        "tempo": "80",
        "block_bars": "4",
        "seed": "5",
    }


@pytest.fixture
def given(teacher_client, student, filled):
    teacher_client.post(PAGE, drawn(teacher_client, filled))
    return Assignment.objects.get()


def test_the_bar_is_shown_with_groove_up_to_its_last_beats(teacher_client, filled):
    sheet = teacher_client.post(DRAW, filled).context["sheet"]
    assert sheet.engraved_bar.fill.bar.counts() == "(1) (2) 3 e & a 4"


def test_fills_are_drawn_from_the_space_of_the_last_beats(teacher_client, filled):
    (late,) = teacher_client.post(DRAW, filled).context["sheet"].draws
    (whole,) = teacher_client.post(DRAW, {**filled, "beats": ""}).context["sheet"].draws
    assert late.space.bar == whole.space.bar.last_beats(2)
    assert len(late.ranks) == 3


def test_the_assignment_keeps_how_many_beats_its_fills_last(given):
    assert (given.beats, given.bar_name) == (2, f"{given.source_bar.name}, last 2 beats")
    for variation in given.variations.all():
        assert variation.as_fill.bar == given.bar
        assert variation.as_fill.bar.starts_at == 2


def test_their_block_is_groove_until_they_start(given):
    block = block_of(given.variations.first())
    assert [sound.onset for sound in block.lead_in][-1] < 2
    assert block.lead_in


def test_their_rules_are_known_when_they_are_played(given):
    variation = given.variations.first()
    assert variation.as_fill in rules_of(variation)


def test_they_are_told_from_fills_of_the_whole_bar(given, student):
    today = given.created_at.date()
    material = material_of(student, today, today)
    assert list(material.given) == [DrawnFrom(given.source_bar_id, given.rule_set_id, 2)]
    assert [space.bar for space in material.spaces().values()] == [given.bar]


@pytest.mark.parametrize(
    ("counts", "meter", "beats", "words"),
    [
        ("1 & 2 &", "2/4", "3", "A bar of 2/4 has 2 beats. Choose fewer, or all of it."),
        ("1 2 3 4 5 6", "6/8", "2", "A bar of 6/8 has 2 beats"),
        ("1 & 2 -", "3/4", "1", "Nothing is struck there in this bar."),
        ("1 & 2 & 3", "3/4", "7", "Choose one of the list."),
    ],
)
def test_beats_that_make_no_fill_are_refused_by_their_field(
    teacher_client, studio, filled, counts, meter, beats, words
):
    filled |= {"bar": make_bar(studio, counts, "Another", meter).pk, "beats": beats}
    form = teacher_client.post(DRAW, filled).context["form"]
    assert words in " ".join(form.errors["beats"])
    assert form["beats"].value() == beats
