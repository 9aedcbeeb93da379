"""What stands on a student's sheet."""

from datetime import date

import pytest
from django.utils import timezone

from assignments.blocks import GrooveChoice
from assignments.downloads.sheet_content import sheet_of_assignment, sheet_of_fill, sheet_of_week
from assignments.models import AssignedVariation
from assignments.practice.practice_log import mark_mastered
from rhythms.engine import Fill
from rhythms.sheets.sheet_text import Look
from tests import cast
from tests.assignments.making import PARADIDDLE, first_fill, give, make_rule_set

pytestmark = pytest.mark.django_db

A4, LETTER = Look("a4"), Look("us-letter", counts=True)
WEDNESDAY = date(2026, 11, 25)


def labels(sheet) -> list[str]:
    return [exercise.label for exercise in sheet.exercises]


def named(assignment, *positions: int) -> list[str]:
    fills = assignment.variations.filter(position__in=positions)
    return [str(fill) for fill in fills.order_by("position")]


def hands(fill: Fill) -> str:
    return "".join(stroke.limb or "-" for stroke in fill.strokes)


class TestAnAssignment:
    def test_has_all_its_fills_in_order(self, assignment):
        assert labels(sheet_of_assignment(assignment, A4)) == named(assignment, 1, 2, 3)

    def test_leaves_out_what_was_removed_and_keeps_the_names_of_the_others(self, assignment):
        first_fill(assignment).remove()
        assert labels(sheet_of_assignment(assignment, A4)) == named(assignment, 2, 3)

    def test_shows_the_hands_that_the_students_page_shows(self, assignment):
        shown = [fill.rendering.fill for fill in assignment.variations.order_by("position")]
        sheet = sheet_of_assignment(assignment, A4)
        assert [exercise.fill for exercise in sheet.exercises] == shown
        assert all("-" not in hands(fill) for fill in shown)

    def test_says_where_the_hands_are_a_proposal(self, student, assignment):
        proposal = (
            "The hands under the notes are a proposal: hand to hand, the leading hand on the "
            "numbers."
        )
        assert proposal in sheet_of_assignment(assignment, A4).sections[0].lines
        fixed = give(student, 1, rule_set=make_rule_set(student.studio, PARADIDDLE, "Para"))
        # The eighths between the 16ths alternate: no hand is open.
        assert proposal not in sheet_of_assignment(fixed, A4).sections[0].lines

    def test_shows_the_groove_and_the_bar_that_leads_into_the_fill(self, student):
        given = give(student, 1, groove=GrooveChoice("disco"), sets_up=True)
        section = sheet_of_assignment(given, A4).sections[0]
        assert [bar.label for bar in section.groove] == [
            "The groove: disco",
            "Its last bar, which leads into the fill",
        ]
        assert "3 bars of groove, the last one leading into it" in section.lines[0]

    def test_without_that_the_groove_alone(self, assignment):
        section = sheet_of_assignment(assignment, A4).sections[0]
        assert [bar.label for bar in section.groove] == ["The groove: rock"]

    def test_says_tempo_block_day_note_and_rules(self, student):
        given = give(student, 1, tempo=92, block_bars=8, due_on=WEDNESDAY, note="Loose wrists")
        section = sheet_of_assignment(given, A4).sections[0]
        assert section.lines[:3] == (
            (
                "Tempo 92. 7 bars of groove, then the fill, four times through, "
                "with the crash on one after each fill."
            ),
            "Due Wednesday 25 November.",
            "“Loose wrists”",
        )
        assert section.rules == ("Eighths go on the snare.",)

    def test_says_whose_it_is_and_with_which_hand_they_lead(self, assignment):
        assert sheet_of_assignment(assignment, A4).lines[0] == "For Mira, right-handed."

    def test_tells_how_known_fills_stand(self, student):
        given = give(student, 4)
        mastered, held, returned, _ = given.variations.order_by("position")
        now = timezone.now()
        mark_mastered(mastered)
        AssignedVariation.objects.filter(pk=held.pk).update(mastered_at=now, held_at=now)
        AssignedVariation.objects.filter(pk=returned.pk).update(returned_at=now)
        notes = [exercise.note for exercise in sheet_of_assignment(given, A4).exercises]
        assert notes == ["mastered", "holds", "came back", ""]

    def test_goes_on_the_paper_asked_for(self, assignment):
        sheet = sheet_of_assignment(assignment, LETTER)
        assert (sheet.paper, sheet.counts) == ("us-letter", True)

    def test_brings_the_cautions_of_the_pages(self, assignment):
        headings = [heading for heading, _ in sheet_of_assignment(assignment, A4).cautions]
        assert headings == ["Ears.", "Body."]
        assert "Stop if it hurts" in sheet_of_assignment(assignment, A4).cautions[1][1]


def test_a_left_handed_student_reads_left_handed_stickings(studio):
    """The rule says right hand first; their sheet starts with the left."""
    paradiddle = make_rule_set(studio, PARADIDDLE, "Para")
    lines = []
    for nickname, handedness in (("Ada", "right"), ("Tom", "left")):
        student = cast.add_student(studio, nickname, handedness=handedness)
        sheet = sheet_of_assignment(give(student, 1, rule_set=paradiddle), A4)
        lines.append((sheet.lines[0], hands(next(sheet.exercises).fill)))
    (right, by_right), (left, by_left) = lines
    assert (right, left) == ("For Ada, right-handed.", "For Tom, left-handed.")
    assert by_left == by_right.translate(str.maketrans("RL", "LR"))


def test_a_single_fill_is_a_sheet_of_its_own(assignment):
    fill = first_fill(assignment)
    sheet = sheet_of_fill(fill, A4)
    assert (sheet.title, labels(sheet)) == (str(fill), [str(fill)])


class TestAWeek:
    def test_holds_what_is_left_to_play_due_first(self, student):
        later = give(student, 2, seed=1, due_on=date(2026, 12, 9))
        sooner = give(student, 1, seed=9, due_on=date(2026, 12, 2))
        mark_mastered(first_fill(later))
        sections = sheet_of_week(student, WEDNESDAY, A4).sections
        assert [section.lines[1] for section in sections] == [
            "Due Wednesday 2 December.",
            "Due Wednesday 9 December.",
        ]
        assert [len(section.exercises) for section in sections] == [1, 1]
        assert [len(section.groove) for section in sections] == [1, 0]  # it is on the sheet
        assert sooner.bar_name in sections[0].heading

    def test_has_a_box_for_each_day_from_its_first(self, student):
        sheet = sheet_of_week(student, WEDNESDAY, A4)
        assert sheet.days == ("Wed", "Thu", "Fri", "Sat", "Sun", "Mon", "Tue")

    @pytest.mark.parametrize(
        ("first", "title"),
        [
            (WEDNESDAY, "Mira: 25 November to 1 December"),
            (date(2026, 12, 2), "Mira: 2 to 8 December"),
        ],
    )
    def test_says_from_when_to_when(self, student, first, title):
        assert sheet_of_week(student, first, A4).title == title

    def test_of_many_fills_has_the_first_and_says_how_many_wait(self, student):
        assignment = give(student, 5)
        sheet = sheet_of_week(student, WEDNESDAY, A4, how_many=3)
        assert labels(sheet) == named(assignment, 1, 2, 3)
        assert "2 more fills when these are done." in sheet.lines

    def test_says_so_when_nothing_is_left(self, student):
        assert "Nothing is left to play." in sheet_of_week(student, WEDNESDAY, A4).lines

    def test_takes_as_many_queries_for_many_fills_as_for_one(
        self, student, django_assert_num_queries
    ):
        for seed in range(4):
            give(student, 4, seed=seed)
        with django_assert_num_queries(1):
            assert len(labels(sheet_of_week(student, WEDNESDAY, A4))) == 12
