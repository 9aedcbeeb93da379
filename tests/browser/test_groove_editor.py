"""A groove is typed drum by drum, seen and heard while it is, and kept."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.page_checks import assert_accessible, assert_fits
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def editor(screen, teacher) -> Page:
    return open_as(screen, teacher, "/bars/grooves/new/")


def line(page: Page, drum: str):
    return page.get_by_label(drum, exact=True)


def strokes(page: Page):
    return page.locator("#engraving .stroke")


def test_it_is_engraved_and_heard_while_it_is_typed_and_then_kept(editor, studio):
    line(editor, "Hi-hat").press_sequentially("1 & 2 & 3 & 4 &")
    expect(strokes(editor)).to_have_count(8)
    line(editor, "Snare").press_sequentially("2> 4>")
    line(editor, "Bass drum").press_sequentially("1 3 &")
    # Eight of the hands, with the snare on their stems, and three of a foot.
    expect(strokes(editor)).to_have_count(11)
    assert_accessible(editor)
    editor.get_by_role("button", name="Hear this groove").click()
    expect(editor.locator("#engraving g.stroke.lit").first).to_be_visible()
    editor.get_by_role("button", name="Stop this groove").click()
    editor.get_by_label("Name").fill("Sunday walk")
    editor.get_by_role("button", name="Save groove").click()
    expect(editor.get_by_role("heading", name="Sunday walk")).to_be_visible()
    assert studio.grooves.get().lines == {
        "hi-hat": "1 & 2 & 3 & 4 &",
        "snare": "2> 4>",
        "bass drum": "1 3 &",
    }


def test_what_is_wrong_stands_under_its_column_and_goes_when_it_is_right(editor):
    line(editor, "Hi-hat").fill("1 & 2 & 3 & 4 &")
    expect(strokes(editor)).to_have_count(8)
    line(editor, "Snare").fill("2 x")
    message = editor.locator("#id_line-snare_message")
    expect(message).to_contain_text("At column 3, “x”")
    expect(message.locator(".caret-line")).to_have_text("  ^")
    expect(strokes(editor)).to_have_count(8)
    assert_accessible(editor)
    line(editor, "Snare").fill("2 4")
    expect(message).to_be_empty()


def test_what_two_hands_cannot_strike_is_said_beside_the_line(editor):
    line(editor, "Hi-hat").fill("1 2 3 4")
    line(editor, "Ride").fill("2")
    line(editor, "Snare").fill("2 4")
    expect(editor.locator("#id_line-snare_message")).to_contain_text("a player has two hands")


def test_the_grid_writes_the_lines_and_follows_them(editor):
    editor.get_by_text("Or set it on the grid").click()
    line(editor, "Hi-hat").fill("1 & 2 & 3 & 4 &")
    place = editor.get_by_role("button", name="Snare, beat 2, 2: silent")
    expect(editor.get_by_role("button", name="Hi-hat, beat 2, &: normal")).to_be_visible()
    place.click()
    expect(line(editor, "Snare")).to_have_value("2")
    expect(strokes(editor)).to_have_count(8)
    editor.get_by_role("button", name="Snare, beat 2, 2: normal").click()
    expect(line(editor, "Snare")).to_have_value("2>")
    editor.get_by_label("Beat 4 in").select_option("16ths")
    editor.get_by_role("button", name="Snare, beat 4, a: silent").click()
    expect(line(editor, "Snare")).to_have_value("2> (4) a")
    assert_accessible(editor)


def test_quick_touches_are_all_kept(editor):
    editor.get_by_text("Or set it on the grid").click()
    line(editor, "Bass drum").fill("1 2 3 4")
    expect(editor.get_by_role("button", name="Bass drum, beat 1, 1: normal")).to_be_visible()
    editor.evaluate(
        """() => { for (const onset of [0, 1, 2, 3])
        document.getElementById(`place-hi-hat-${onset}`).click(); }"""
    )
    expect(line(editor, "Hi-hat")).to_have_value("1 2 3 4")
    expect(editor.locator("#groove-grid [data-kind=normal]")).to_have_count(8)


def test_the_grid_can_be_set_with_the_keyboard_alone(editor):
    editor.get_by_text("Or set it on the grid").press("Enter")
    place = editor.locator("#place-snare-1")
    place.press("Enter")
    expect(line(editor, "Snare")).to_have_value("2")
    expect(place).to_be_focused()
    place.press("Enter")
    expect(line(editor, "Snare")).to_have_value("2>")


def open_the_bar_that_leads_in(page: Page) -> None:
    page.get_by_text("A bar that leads into the fill").press("Enter")
    page.get_by_text("Or set this bar on a grid").press("Enter")


def test_the_bar_that_leads_in_has_a_grid_that_begins_with_the_groove(editor):
    line(editor, "Snare").fill("2 4")
    expect(strokes(editor)).to_have_count(2)
    open_the_bar_that_leads_in(editor)
    own = line(editor, "Snare in the bar that leads in")
    as_before = "Snare, leading in, beat 4, 4: normal, as in the groove"
    expect(editor.get_by_role("button", name=as_before)).to_be_visible()
    editor.get_by_label("Leading in, beat 4, divided in").select_option("eighths")
    editor.get_by_role("button", name="Snare, leading in, beat 4, &: silent").click()
    expect(own).to_have_value("2 4 &")
    # The groove, and below it the bar.
    expect(strokes(editor)).to_have_count(2 + 3)
    expect(editor.get_by_role("button", name=as_before)).to_have_count(0)
    expect(line(editor, "Snare")).to_have_value("2 4")
    assert_accessible(editor)
    own.fill("3> 4>")
    expect(
        editor.get_by_role("button", name="Snare, leading in, beat 3, 3: accent")
    ).to_be_visible()


def test_the_bar_that_leads_in_can_be_set_with_the_keyboard_alone_and_is_kept(editor, studio):
    line(editor, "Snare").fill("2 4")
    expect(strokes(editor)).to_have_count(2)
    open_the_bar_that_leads_in(editor)
    own = line(editor, "Snare in the bar that leads in")
    place = editor.locator("#setup-place-snare-1")
    for after in ("2> 4", "2< 4", "4", ""):
        place.press("Enter")
        expect(own).to_have_value(after)
        expect(place).to_be_focused()
    editor.keyboard.press("Tab")
    editor.keyboard.press("Shift+Tab")
    editor.keyboard.press("Space")
    expect(own).to_have_value("2> 4")
    editor.get_by_label("Name").fill("Sunday walk")
    editor.get_by_role("button", name="Save groove").click()
    expect(editor.get_by_role("heading", name="The bar that leads into the fill")).to_be_visible()
    assert studio.grooves.get().setup == {"snare": "2> 4"}


def test_quick_touches_on_both_grids_are_all_kept(editor):
    editor.get_by_text("Or set it on the grid").click()
    open_the_bar_that_leads_in(editor)
    line(editor, "Snare").fill("1 2 3 4")
    expect(editor.get_by_role("button", name="Snare, beat 1, 1: normal")).to_be_visible()
    editor.evaluate(
        """() => { for (const place of ["place-hi-hat-0", "setup-place-ride-1", "place-hi-hat-2",
        "setup-place-ride-3"]) document.getElementById(place).click(); }"""
    )
    expect(line(editor, "Hi-hat")).to_have_value("1 3")
    expect(line(editor, "Ride in the bar that leads in")).to_have_value("2 4")


def test_a_copy_of_the_library_is_changed_and_kept(screen, teacher, studio):
    page = open_as(screen, teacher, "/bars/grooves/")
    page.get_by_role("link", name="Copy rock", exact=True).click()
    expect(strokes(page)).to_have_count(8 + 3 + 8 + 2)
    line(page, "Bass drum").fill("1 & 3")
    page.get_by_role("button", name="Save groove").click()
    expect(page.get_by_role("heading", name="Rock, own")).to_be_visible()
    own = studio.grooves.get()
    assert own.lines["bass drum"] == "1 & 3"
    assert own.setup == {"snare": "2> 4> &>", "bass drum": "1 3"}


def test_a_groove_of_the_list_is_heard(screen, teacher):
    page = open_as(screen, teacher, "/bars/grooves/")
    page.get_by_role("button", name="Hear rock", exact=True).click()
    expect(page.get_by_role("button", name="Stop rock", exact=True)).to_be_visible()
    assert_accessible(page)


def test_the_places_of_32nds_fit_the_screen(editor):
    editor.get_by_text("Or set it on the grid").first.click()
    line(editor, "Hi-hat").fill("1 ta e ta & ta a ta 2 3 4")
    expect(editor.locator("#groove-grid .drum-places").first.locator("button")).to_have_count(8)
    assert_fits(editor)
