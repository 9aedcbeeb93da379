"""Fills of two bars: assigned, played in their block, printed; and no groove of anybody's."""

import pytest

from assignments.blocks import block_of, playable
from assignments.downloads.sheet_content import sheet_of_assignment
from assignments.models import Assignment
from rhythms.notation.sheets import pdf
from rhythms.sheets.sheet_text import Look
from tests.assignments.assigning.test_assign_page import DRAW, PAGE, drawn
from tests.assignments.making import make_bar, make_rule_set
from tests.assignments.pages import address

pytestmark = pytest.mark.django_db

COUNTS = "1 & 2 e & a 3 4 | 1 & 2 & 3 e & a 4"


@pytest.fixture
def filled(studio, student):
    return {
        "bar": make_bar(studio, COUNTS, "Two bars").pk,
        "rule_set": make_rule_set(studio, [], "Anything").pk,
        "students": [student.pk],
        "how_many": "3",
        "tempo": "80",
        "block_bars": "4",
        "seed": "5",
    }


@pytest.fixture
def given(teacher_client, filled):
    teacher_client.post(PAGE, drawn(teacher_client, filled))
    return Assignment.objects.get()


def test_their_block_has_two_bars_of_groove_and_two_of_fill(given):
    block = block_of(given.variations.first())
    assert (block.bars, block.fill_bars, block.fill_onset) == (4, 2, 8)
    assert playable(given.variations.first())["fillBars"] == 2


def test_a_groove_is_chosen_for_them_as_for_any_bar(teacher_client, filled):
    teacher_client.post(PAGE, drawn(teacher_client, filled | {"groove": "funk"}))
    given = Assignment.objects.get()
    assert block_of(given.variations.first()).groove.name == "funk"


def test_two_bars_are_no_groove(teacher_client, filled):
    choices = teacher_client.get(PAGE).context["form"].fields["groove"].choices
    own = [label for group, bars in choices if group == "Your bars" for _, label in bars]
    assert own
    assert not [label for label in own if label.startswith("Two bars")]
    wrong = teacher_client.post(DRAW, filled | {"groove": f"bar {filled['bar']}"})
    assert "Choose a groove from the list." in wrong.context["form"].errors["groove"]


def test_the_student_reads_how_much_groove_comes_before(student_client, given):
    page = student_client.get(address("fill", given.variations.first().pk)).content.decode()
    assert "2 bars of groove, then this fill." in page


def test_they_are_printed(given):
    assert pdf(sheet_of_assignment(given, Look(counts=True))).startswith(b"%PDF")


def test_the_lesson_grid_has_the_beats_of_both_bars(teacher_client, student, given):
    fill = given.variations.first()
    page = teacher_client.get(address("lesson-take", student.pk), {"fill": fill.pk})
    assert "Bar 2, beat 4" in page.content.decode()
