"""A file of another program becomes bars of the library, with real clicks."""

import pytest
from playwright.sync_api import FilePayload, Page, expect

from assignments.models import AssignedVariation
from rhythms.bar_imports.import_reader import read_import
from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.engine.fills.fill import Hit, snare_fill, stroke_of
from rhythms.engine.playback.groove_library import grooves_for
from rhythms.engine.playback.timeline import Block
from rhythms.notation import block_midi, midi, musicxml, mxl
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)

NEW = "1 trip let 2 & (3) 4"


def payload(name: str, data: bytes) -> FilePayload:
    return {"name": name, "mimeType": "application/octet-stream", "buffer": data}


@pytest.fixture
def page(screen, teacher) -> Page:
    open_as(screen, teacher, "/bars/")
    screen.get_by_role("link", name="Bars from a file").click()
    return screen


def bring(page: Page, name: str, data: bytes) -> None:
    page.get_by_label("File", exact=True).set_input_files(payload(name, data))
    page.get_by_role("button", name="Read the file").click()


def test_a_measure_of_a_score_is_kept_under_a_name(page, studio):
    assert_accessible(page)
    bring(page, "Line 4.mxl", mxl(musicxml(snare_fill(Bar.from_counts(NEW)))))
    expect(page.get_by_role("heading", name="Line 4.mxl")).to_be_visible()
    expect(page.locator(".found-bars svg")).to_have_count(1)
    expect(page.get_by_role("checkbox")).to_be_checked()
    assert_accessible(page)
    page.get_by_label("Name").fill("Line 4")
    page.get_by_label("Reference").fill("Green book, page 12")
    page.get_by_role("button", name="Keep the ticked bars").click()
    expect(page.locator("#messages")).to_contain_text("“Line 4” is in your library.")
    assert studio.bars.get(name="Line 4").counts == NEW


def test_bars_of_a_block_are_ticked_together_or_none(page, studio):
    fill = snare_fill(Bar.from_counts(NEW))
    bring(page, "block.mid", block_midi(Block(fill, grooves_for(fill.bar.meter)[0], 4)))
    expect(page.get_by_role("heading", name="Measures 1 to 3")).to_be_visible()
    boxes = page.get_by_role("checkbox")
    page.get_by_role("button", name="Tick all").click()
    for box in boxes.all():
        expect(box).to_be_checked()
    page.get_by_role("button", name="Tick none").click()
    page.get_by_role("button", name="Keep the ticked bars").click()
    expect(page.get_by_role("alert")).to_contain_text("Tick the bars that you want to keep.")
    assert_accessible(page)
    page.get_by_label("Keep the bar of Measure 4").check()
    page.get_by_role("button", name="Keep the ticked bars").click()
    expect(page.locator("#messages")).to_contain_text("is in your library.")


def test_a_wrong_file_is_refused_beside_the_field(page):
    bring(page, "page.pdf", b"%PDF-1.7")
    expect(page.locator("#id_file_field .field-error")).to_contain_text("A PDF is a picture")
    assert_accessible(page)


def test_a_damaged_file_is_called_damaged(page):
    bring(page, "cut off.mid", b"MThd\x00\x00\x00\x06\x00\x00")
    expect(page.get_by_role("alert")).to_contain_text("The MIDI file is damaged or cut off.")
    assert_accessible(page)
    page.get_by_role("link", name="Choose another file").click()
    expect(page.get_by_role("heading", name="Bars from a file")).to_be_visible()


def test_a_page_that_waits_for_the_worker_shows_the_bars_by_itself(page, studio):
    score = musicxml(snare_fill(Bar.from_counts(NEW))).encode()
    waiting = studio.bar_imports.create(name="Line 4.musicxml", data=score)
    page.goto(f"/bars/import/{waiting.pk}/")
    expect(page.get_by_role("status").filter(has_text="being read")).to_be_visible()
    expect(page.get_by_role("progressbar")).to_be_visible()
    assert_accessible(page)
    read_import(str(waiting.pk))
    expect(page.locator(".found-bars svg")).to_have_count(1)


def test_a_bar_is_kept_with_its_drums_and_assigned_as_that_one_fill(page, student):
    bar = Bar.from_counts("1 & 2 & 3 e & a 4")
    crash = stroke_of([Hit(Surface.CRASH, None, "accent"), Hit(Surface.BASS_DRUM, "RF")])
    drums = (Surface.HIGH_TOM, Surface.FLOOR_TOM)
    toms = (Stroke(drums[note.index % 2]) for note in bar.sounded[1:])
    given = Fill(bar, (crash, *toms))
    bring(page, "Solo.mid", midi(given))
    page.get_by_label("Keep it as").select_option("fill 0")
    page.get_by_label("Name").fill("Down the toms")
    assert_accessible(page)
    page.get_by_role("button", name="Keep the ticked bars").click()
    said = page.locator("#messages")
    expect(said).to_contain_text("“Down the toms” is among your rule sets: assign it with the bar")
    page.goto("/assign/")
    page.get_by_label("Bar", exact=True).select_option("Down the toms")
    page.get_by_label("Rule set").select_option("Down the toms")
    page.get_by_role("checkbox", name="Mira").press("Space")
    expect(page.locator("#drawn .fill-card")).to_have_count(1)
    assert_accessible(page)
    page.get_by_role("button", name="Assign 1 fill to Mira").click()
    page.wait_for_url(f"**/students/{student.pk}/")
    assigned = AssignedVariation.objects.get().as_fill
    assert [stroke.hits for stroke in assigned.strokes] == [stroke.hits for stroke in given.strokes]
