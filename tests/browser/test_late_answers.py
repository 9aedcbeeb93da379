"""A line is slow, and what somebody does meanwhile is not lost when the answer comes."""

import pytest
from playwright.sync_api import Page, expect

from rhythms.models import SourceBar
from tests.browser.held_answers import HeldAnswers
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)


def strokes(page: Page):
    return page.locator("#engraving .stroke")


class TestBarEditor:
    @pytest.fixture
    def editor(self, screen, teacher) -> Page:
        return open_as(screen, teacher, "/bars/new/")

    @pytest.fixture
    def line(self, editor):
        return editor.get_by_label("Count line")

    @pytest.fixture
    def held(self, editor) -> HeldAnswers:
        return HeldAnswers(editor, "**/bars/preview/**")

    def test_a_division_chosen_meanwhile_is_kept_with_the_typed_line(self, editor, line, held):
        line.fill("1 2 3 4")
        held.wait_for_one()
        editor.get_by_label("Beat 1 in").select_option("16ths")
        editor.get_by_label("Beat 3 in").select_option("triplets")
        held.answer_all()
        expect(line).to_have_value("1 e & a 2 3 trip let 4")
        expect(strokes(editor)).to_have_count(9)

    def test_a_pickup_chosen_meanwhile_is_kept_with_the_typed_line(self, editor, line, held):
        line.fill("1 2 3 4")
        held.wait_for_one()
        editor.get_by_label("Pick-up", exact=True).select_option("from 4")
        held.answer_all()
        expect(line).to_have_value("4 | 1 2 3 4")

    def test_a_touch_meanwhile_is_kept_with_the_typed_line(self, editor, line, held):
        line.fill("1 2 3 4")
        held.wait_for_one()
        editor.get_by_role("button", name="Beat 1, place 1, 1: accent").click()
        held.answer_all()
        expect(line).to_have_value("1> 2 3 4")
        pressed = editor.get_by_role("button", name="Beat 1, place 1, 1: accent")
        expect(pressed).to_have_attribute("aria-pressed", "true")

    def test_a_touch_of_a_place_that_the_typed_line_has_no_more_is_kept(self, editor, line):
        line.fill("1 e & a 2 3 4")
        expect(strokes(editor)).to_have_count(7)
        held = HeldAnswers(editor, "**/bars/preview/**")
        line.fill("1 & 2 3 4")
        held.wait_for_one()
        editor.get_by_role("button", name="Beat 1, place 4, a: accent").click()
        held.answer_all()
        expect(line).to_have_value("1 & a> 2 3 4")

    def test_what_is_typed_while_the_grid_is_answered_is_kept_with_it(self, editor, line):
        line.fill("1 2 3 4")
        expect(strokes(editor)).to_have_count(4)
        held = HeldAnswers(editor, "**/bars/preview/**")
        editor.get_by_label("Beat 1 in").select_option("eighths")
        held.wait_for_one()
        line.fill("1 2 3 4 &")
        held.answer_all()
        expect(line).to_have_value("1 & 2 3 4 &")

    def test_a_choice_is_kept_while_another_is_answered(self, editor, held):
        editor.get_by_label("Beat 1 in").select_option("eighths")
        held.wait_for_one()
        editor.get_by_label("Beat 2 in").select_option("triplets")
        editor.get_by_label("Pick-up", exact=True).select_option("from 4")
        held.answer_all()
        expect(editor.get_by_label("Count line")).to_have_value("4 | 1 & 2 trip let - -")

    def test_a_touch_is_of_its_beat_whatever_pickup_comes_before_it(self, editor, line):
        line.fill("1 2 3 4")
        expect(strokes(editor)).to_have_count(4)
        held = HeldAnswers(editor, "**/bars/preview/**")
        editor.get_by_label("Pick-up", exact=True).select_option("from 3")
        held.wait_for_one()
        editor.get_by_role("button", name="Beat 3, place 1, 3: accent").click()
        held.answer_all()
        expect(line).to_have_value("3 4 | 1 2 3> 4")

    def test_a_choice_waits_for_a_line_that_could_not_be_read(self, editor, line, held):
        line.fill("1 2 3 x")
        held.wait_for_one()
        editor.get_by_label("Beat 1 in").select_option("eighths")
        held.answer_all()
        expect(editor.locator("#counts-message")).to_contain_text("“x”")
        expect(line).to_have_value("1 2 3 x")
        line.fill("1 2 3 4")
        expect(line).to_have_value("1 & 2 3 4")

    def test_what_is_saved_has_what_was_chosen_before_the_answer(self, editor, line, held):
        editor.get_by_label("Name").fill("Walking home")
        line.fill("1 2 3 4")
        held.wait_for_one()
        editor.get_by_label("Beat 1 in").select_option("eighths")
        editor.get_by_role("button", name="Save bar").click(no_wait_after=True)
        held.answer_all()
        expect(editor.get_by_role("heading", name="Walking home")).to_be_visible()
        assert SourceBar.objects.get(name="Walking home").counts == "1 & 2 3 4"


class TestGrooveEditor:
    @pytest.fixture
    def editor(self, screen, teacher) -> Page:
        page = open_as(screen, teacher, "/bars/grooves/new/")
        page.get_by_text("Or set it on the grid").click()
        return page

    @pytest.fixture
    def held(self, editor) -> HeldAnswers:
        return HeldAnswers(editor, "**/grooves/preview/**")

    def test_a_division_chosen_meanwhile_is_kept_with_the_typed_line(self, editor, held):
        editor.get_by_label("Hi-hat", exact=True).fill("1 2 3 4")
        held.wait_for_one()
        editor.get_by_label("Beat 4 in", exact=True).select_option("16ths")
        held.answer_all()
        expect(editor.get_by_role("button", name="Snare, beat 4, a: silent")).to_be_visible()
        expect(strokes(editor)).to_have_count(4)

    def test_touches_meanwhile_are_kept_with_the_typed_line(self, editor, held):
        snare = editor.get_by_label("Snare", exact=True)
        editor.get_by_label("Hi-hat", exact=True).fill("1 2 3 4")
        held.wait_for_one()
        editor.get_by_role("button", name="Snare, beat 2, 2: silent").click()
        editor.get_by_role("button", name="Snare, beat 4, 4: silent").click()
        held.answer_all()
        expect(snare).to_have_value("2 4")
        expect(editor.get_by_label("Hi-hat", exact=True)).to_have_value("1 2 3 4")

    def test_what_is_typed_while_a_touch_is_answered_is_kept_with_it(self, editor, held):
        snare = editor.get_by_label("Snare", exact=True)
        editor.get_by_role("button", name="Snare, beat 2, 2: silent").click()
        held.wait_for_one()
        snare.fill("4")
        held.answer_all()
        expect(snare).to_have_value("2 4")

    def test_a_touch_waits_for_a_line_that_could_not_be_read(self, editor, held):
        snare = editor.get_by_label("Snare", exact=True)
        snare.fill("4 x")
        held.wait_for_one()
        editor.get_by_role("button", name="Snare, beat 2, 2: silent").click()
        held.answer_all()
        expect(editor.locator("#id_line-snare_message")).to_contain_text("“x”")
        expect(snare).to_have_value("4 x")
        snare.fill("4")
        expect(snare).to_have_value("2 4")

    def test_a_touch_that_no_answer_comes_to_is_sent_with_the_next(self, editor, console_errors):
        editor.context.set_offline(True)
        editor.get_by_role("button", name="Snare, beat 2, 2: silent").click()
        expect(editor.get_by_text("The studio did not answer.")).to_be_visible()
        editor.context.set_offline(False)
        editor.get_by_role("button", name="Snare, beat 4, 4: silent").click()
        expect(editor.get_by_label("Snare", exact=True)).to_have_value("2 4")
        console_errors.clear()

    def test_what_no_answer_came_to_is_asked_again_when_it_is_saved(
        self, editor, studio, console_errors
    ):
        editor.get_by_label("Name").fill("Sunday walk")
        editor.context.set_offline(True)
        editor.get_by_role("button", name="Snare, beat 2, 2: silent").click()
        expect(editor.get_by_text("The studio did not answer.")).to_be_visible()
        editor.context.set_offline(False)
        editor.get_by_role("button", name="Save groove").click(no_wait_after=True)
        expect(editor.get_by_role("heading", name="Sunday walk")).to_be_visible()
        assert studio.grooves.get().lines == {"snare": "2"}
        console_errors.clear()

    def test_what_is_saved_has_what_was_touched_before_the_answer(self, editor, held, studio):
        editor.get_by_label("Name").fill("Sunday walk")
        editor.get_by_label("Hi-hat", exact=True).fill("1 2 3 4")
        held.wait_for_one()
        editor.get_by_role("button", name="Snare, beat 2, 2: silent").click()
        editor.get_by_role("button", name="Save groove").click(no_wait_after=True)
        held.answer_all()
        expect(editor.get_by_role("heading", name="Sunday walk")).to_be_visible()
        assert studio.grooves.get().lines == {"hi-hat": "1 2 3 4", "snare": "2"}
