"""Paper and files by real clicks: chosen, waited for, saved."""

import pypdfium2
import pytest
from playwright.sync_api import Page, expect

from rhythms.models import Rendering
from rhythms.renderings import job_progress, rendering_maker, tasks
from tests.assignments.making import first_fill, give
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def assignment(student):
    return give(student, 3, tempo=88)


@pytest.fixture
def at_the_desk(screen, teacher) -> Page:
    return open_as(screen, teacher, "/roster/")


@pytest.fixture
def beside_the_kit(screen, student) -> Page:
    return open_as(screen, student, "/today/")


@pytest.fixture
def worker_is_busy(monkeypatch):
    """Tasks stay in the queue until the test plays the worker."""
    for task in (tasks.render, tasks.make_file):
        monkeypatch.setattr(task, "delay", lambda key: None)


def pages_of(pdf: bytes) -> list[str]:
    return [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf)]


def test_a_teacher_prints_an_assignment_and_sees_how_far_it_is(
    at_the_desk, student, assignment, worker_is_busy
):
    page = at_the_desk
    page.goto(f"/students/{student.pk}/")
    page.get_by_role("link", name=f"Print {assignment}").click()
    page.get_by_label("Letter").check()
    page.get_by_label("Print the count line under the notes").check()
    assert_accessible(page)
    page.get_by_role("button", name="Make the PDF").click()
    expect(page.get_by_text("Waiting for its turn")).to_be_visible()
    sheet = Rendering.objects.get(format="pdf")
    job_progress.set_progress(sheet.key, 2, 3)
    expect(page.get_by_role("progressbar")).to_have_attribute("value", "2")
    expect(page.get_by_text("Engraving: fill 2 of 3")).to_be_visible()
    assert_accessible(page)
    rendering_maker.make(sheet.key)
    link = page.get_by_role("link", name="Open the PDF")
    expect(link).to_be_visible()
    assert_accessible(page)
    text = pages_of(page.request.get(link.get_attribute("href")).body())[0]
    assert "For Mira, right-handed." in text


def test_a_sheet_that_failed_is_made_when_tried_again(
    at_the_desk, assignment, worker_is_busy, monkeypatch
):
    page = at_the_desk
    page.goto(f"/assignments/{assignment.pk}/sheet.pdf?paper=a4")
    sheet = Rendering.objects.get(format="pdf")
    with monkeypatch.context() as broken:
        broken.setattr(rendering_maker, "draw", lambda _: 1 / 0)
        rendering_maker.make(sheet.key)
    page.get_by_role("button", name="Try again").click()
    expect(page.get_by_text("Waiting for its turn")).to_be_visible()
    rendering_maker.make(sheet.key)
    expect(page.get_by_role("link", name="Open the PDF")).to_be_visible()


def test_a_student_saves_every_kind_of_file_of_a_fill(beside_the_kit, assignment):
    page, fill = beside_the_kit, first_fill(assignment)
    page.goto(f"/fills/{fill.pk}/")
    page.get_by_role("link", name="Files for other programs").click()
    expect(page.locator("figure.notation svg")).to_be_visible()
    assert_accessible(page)
    wanted = {
        "MusicXML of": f"{fill}.musicxml",
        "MusicXML, compressed": f"{fill}.mxl",
        "MIDI of 1": f"{fill}.mid",
        "Picture (SVG)": f"{fill}.svg",
        "MIDI of the block": f"{fill}, block.mid",
        "Audio of the block": f"{fill}, 88.mp3",
    }
    for name, file in wanted.items():
        with page.expect_download() as saved:
            page.get_by_role("link", name=name).click()
        assert saved.value.suggested_filename == file


def test_a_student_prints_a_week(beside_the_kit, assignment, console_errors):
    page = beside_the_kit
    page.goto("/fills/")
    page.get_by_role("link", name="Print a week").click()
    page.get_by_label("Fills at most").fill("0")
    assert_accessible(page)
    page.get_by_role("button", name="Make the PDF").click()
    expect(page.get_by_text("Give a whole number from 1 to 24.")).to_be_visible()
    console_errors.clear()  # a page refused with 422 is one, to the console
    page.get_by_label("Fills at most").fill("2")
    action = page.locator("form[method=get]").get_attribute("action")
    query = page.locator("form[method=get]").evaluate(
        "form => new URLSearchParams(new FormData(form)).toString()"
    )
    (text,) = pages_of(page.request.get(f"{action}?{query}").body())
    assert "1 more fill when these are done." in text


def test_a_teacher_prints_a_ladder_of_a_bar(at_the_desk, studio, bar, ladder):
    page = at_the_desk
    page.goto(f"/bars/{bar.pk}/")
    page.get_by_role("link", name="Print a ladder of it").click()
    assert_accessible(page)
    query = page.locator("form[method=get]").evaluate(
        "form => form.action + '?' + new URLSearchParams(new FormData(form)).toString()"
    )
    text = " ".join(pages_of(page.request.get(query).body()))
    for step in ladder.steps.kept():
        assert str(step) in " ".join(text.split())
