"""A file of another program becomes bars of the library, with real clicks."""

import pytest
from playwright.sync_api import FilePayload, Page, expect

from rhythms.bar_imports.import_reader import read_import
from rhythms.engine import Bar
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.groove_library import grooves_for
from rhythms.engine.playback.timeline import Block
from rhythms.notation import block_midi, musicxml, mxl
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
