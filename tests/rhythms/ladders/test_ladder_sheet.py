"""A whole ladder of one bar on paper, and a bar as files."""

import re
from dataclasses import replace

import pypdfium2
import pytest
from django.urls import reverse

from rhythms.engine import Fill
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.fills.playability import top_tempo
from rhythms.fill_spaces import space_for
from rhythms.ladders.ladder_sheet import Wanted, ladder_sheet
from rhythms.models import RuleSet
from rhythms.notation import midi, musicxml
from rhythms.sheets.sheet_text import Look
from tests import cast
from tests.assignments.making import ON_THE_COWBELL, PARADIDDLE, TOO_MUCH

pytestmark = pytest.mark.django_db

LOOK = Look("a4")
QUERY = "&each=2&tempo=90&block_bars=8&paper=us-letter"


def hands(fill) -> str:
    return "".join(stroke.limb or "-" for stroke in fill.strokes)


def without_hands(fill: Fill) -> Fill:
    return Fill(fill.bar, tuple(replace(stroke, limb=None) for stroke in fill.strokes))


def add_step(ladder, rules, name):
    rule_set = RuleSet.objects.create(studio=ladder.studio, name=name, rules=rules)
    return ladder.add_step(rule_set)


@pytest.fixture
def one_step(studio):
    """A ladder with one step of fixed hands."""
    ladder = studio.ladders.create(name="One step")
    add_step(ladder, PARADIDDLE, "Paradiddle")
    return ladder


def test_steps_come_in_teaching_order_with_their_rules(bar, ladder):
    sheet = ladder_sheet(Wanted(bar, ladder), LOOK)
    names = [step.rule_set.name for step in ladder.steps.kept()]
    assert [section.heading for section in sheet.sections] == [
        f"{number}. {name}" for number, name in enumerate(names, start=1)
    ]
    for section, step in zip(sheet.sections, ladder.steps.kept(), strict=True):
        assert section.rules == tuple(step.rule_set.sentences())


def test_every_fill_keeps_the_rules_of_its_step(bar, ladder):
    wanted = Wanted(bar, ladder, each=3)
    for section, step in zip(ladder_sheet(wanted, LOOK).sections, ladder.steps.kept(), strict=True):
        space = space_for(bar, step.rule_set, wanted.kit)
        assert len(section.exercises) == min(3, space.size)
        for exercise in section.exercises:
            # Where no rule speaks of hands, the sheet proposes some.
            assert exercise.fill in space or without_hands(exercise.fill) in space


def test_fills_are_playable_at_the_tempo(bar, ladder):
    wanted = Wanted(bar, ladder, tempo=120)
    fills = [exercise.fill for exercise in ladder_sheet(wanted, LOOK).exercises]
    assert fills
    assert all(top_tempo(fill, wanted.kit) >= 120 for fill in fills)


def test_the_same_wish_gives_the_same_sheet(bar, ladder):
    assert ladder_sheet(Wanted(bar, ladder), LOOK) == ladder_sheet(Wanted(bar, ladder), LOOK)


def test_a_left_handed_students_ladder_is_mirrored(studio, bar, one_step):
    left = cast.add_student(studio, "Tom", handedness="left")
    sheets = [ladder_sheet(Wanted(bar, one_step, who), LOOK) for who in (None, left)]
    right, mirrored = (hands(next(sheet.exercises).fill) for sheet in sheets)
    assert mirrored == right.translate(str.maketrans("RL", "LR"))
    assert "For Tom, left-handed." in sheets[1].lines
    sentences = [sheet.sections[0].rules[1] for sheet in sheets]
    assert ["right hand first" in sentences[0], "left hand first" in sentences[1]] == [True, True]


def test_a_step_that_the_kit_does_not_allow_says_why(studio, bar, ladder):
    kit = studio.kits.create(name="Pad", surfaces=["snare"])
    student = cast.add_student(studio, "Kofi", kit=kit)
    add_step(ladder, ON_THE_COWBELL, "Cowbell")
    section = ladder_sheet(Wanted(bar, ladder, student), LOOK).sections[-1]
    assert section.exercises == ()
    assert "cowbell" in section.lines[0]


def test_a_step_too_large_to_count_says_so(bar, ladder):
    add_step(ladder, TOO_MUCH, "Too much")
    section = ladder_sheet(Wanted(bar, ladder), LOOK).sections[-1]
    assert section.exercises == ()
    assert section.lines


def test_what_nobody_can_play_so_fast_is_marked(bar, one_step):
    """Sixteen strokes a second, some of them doubles."""
    section = ladder_sheet(Wanted(bar, one_step, tempo=240), LOOK).sections[0]
    assert section.exercises == ()
    assert "None is playable at 240." in section.lines


def test_the_reference_stands_on_the_sheet(bar, ladder):
    bar.reference = "Green book, page 9, line 3"
    assert "From Green book, page 9, line 3." in ladder_sheet(Wanted(bar, ladder), LOOK).lines


class TestThePages:
    def test_it_is_asked_for_with_a_ladder_and_a_student(self, teacher_client, bar, student):
        html = teacher_client.get(reverse("rhythms:bar-sheet", args=[bar.pk])).content.decode()
        assert re.search(rf'<option value="{student.pk}">Mira</option>', html)
        assert re.search(r'name="each" value="4" min="1" max="8"', html)

    def test_it_is_a_pdf_with_fills_of_every_step(
        self, teacher_client, bar, ladder, django_capture_on_commit_callbacks
    ):
        url = reverse("rhythms:bar-pdf", args=[bar.pk]) + f"?ladder={ladder.pk}{QUERY}"
        with django_capture_on_commit_callbacks(execute=True):
            teacher_client.get(url)
        document = pypdfium2.PdfDocument(b"".join(teacher_client.get(url).streaming_content))
        text = " ".join(page.get_textpage().get_text_range() for page in document)
        assert "Tempo 90. 7 bars of groove" in " ".join(text.split())
        for number, step in enumerate(ladder.steps.kept(), start=1):
            assert f"{number}. {step}" in " ".join(text.split())

    @pytest.mark.parametrize(
        ("query", "words"),
        [
            ("?ladder=987654321", "Choose one of your ladders."),
            ("?ladder=x", "Choose one of your ladders."),
            ("?student=987654321", "Choose one of your students."),
            ("?each=9", "Give a whole number from 1 to 8."),
            ("?tempo=1000", "Give a whole number from 30 to 240."),
        ],
    )
    def test_what_cannot_be_has_an_error_beside_its_field(self, teacher_client, bar, query, words):
        response = teacher_client.get(reverse("rhythms:bar-pdf", args=[bar.pk]) + query)
        assert response.status_code == 422
        assert words in response.content.decode()

    def test_another_studios_ladder_and_student_are_none(
        self, teacher_client, bar, other_studio, other_student
    ):
        ladder = other_studio.ladders.first()
        query = f"?ladder={ladder.pk}&student={other_student.pk}{QUERY}"
        html = teacher_client.get(reverse("rhythms:bar-pdf", args=[bar.pk]) + query)
        assert html.status_code == 422
        assert "Choose one of your ladders." in html.content.decode()
        assert "Choose one of your students." in html.content.decode()

    def test_a_bar_can_be_saved_as_it_is_on_the_snare(self, teacher_client, bar):
        fill = snare_fill(bar.bar)
        for kind, file in (("musicxml", musicxml(fill).encode()), ("mid", midi(fill, 100))):
            url = reverse("rhythms:bar-file", args=[bar.pk, kind])
            assert teacher_client.get(url).content == file

    def test_an_unknown_kind_is_not_found(self, teacher_client, bar):
        url = reverse("rhythms:bar-file", args=[bar.pk, "docx"])
        assert teacher_client.get(url).status_code == 404
