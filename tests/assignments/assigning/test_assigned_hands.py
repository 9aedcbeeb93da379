"""Hands that no rule fixes: as taught, of least effort, or none, as the teacher chose."""

import pytest

from assignments.assigning.pick_fills import hands_in_words
from assignments.downloads.sheet_content import sheet_of_assignment
from assignments.models import Assignment
from rhythms.engine import Kit
from rhythms.engine.fills.fill import HANDS
from rhythms.engine.fills.hands import StickingStyle, grid_hands
from rhythms.engine.picking import appraise
from rhythms.models import Stickings
from rhythms.sheets.sheet_text import Look
from tests.assignments.assigning.test_assign import LARGE
from tests.assignments.making import give

pytestmark = pytest.mark.django_db

TAUGHT, _, EASIEST, NONE = Stickings


def hands(assignment: Assignment) -> list[tuple[str | None, ...]]:
    """What is engraved, fill by fill."""
    ordered = assignment.variations.order_by("position")
    return [tuple(s.limb for s in one.rendering.fill.strokes) for one in ordered]


def test_the_styles_of_the_page_are_those_of_the_engine():
    assert Stickings.values == list(StickingStyle)


def test_hands_go_by_the_count_until_another_way_is_chosen(student):
    given = give(student, 4, tempo=60)
    bar = given.variations.first().as_fill.bar
    assert set(hands(given)) == {grid_hands(bar, Kit.standard())}


def test_no_hands_are_printed_where_none_are_wanted(student):
    given = give(student, 2, sticking=NONE)
    assert not any(limb in HANDS for fill in hands(given) for limb in fill)
    lines = sheet_of_assignment(given, Look("a4")).sections[0].lines
    assert not any("a proposal" in line for line in lines)


def test_the_easiest_way_round_is_said_to_be_one(student):
    given = give(student, 2, sticking=EASIEST)
    lines = sheet_of_assignment(given, Look("a4")).sections[0].lines
    assert "The hands under the notes are a proposal: the easiest way round." in lines


def test_the_teacher_reads_where_hands_leave_the_count():
    said = {hands_in_words(appraise(fill, LARGE.kit, (), 190)) for fill in LARGE.sample(60, 1)}
    assert "" in said
    assert any(text.startswith("Hands leave the count on ") for text in said)
