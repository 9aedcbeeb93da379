"""A rule set is written as sentences with fields, and counted while it is written."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def editor(screen, teacher) -> Page:
    return open_as(screen, teacher, "/rule-sets/new/")


def rule(page: Page, number: int):
    return page.locator(".rule-row").nth(number - 1)


def tick(page: Page, number: int, name: str) -> None:
    rule(page, number).get_by_role("checkbox", name=name, exact=True).check()


def add(page: Page, title: str) -> None:
    before = page.locator(".rule-row").count()
    page.get_by_label("A new rule about").select_option(title)
    page.get_by_role("button", name="Add rule").click()
    expect(page.locator(".rule-row")).to_have_count(before + 1)


def size(page: Page):
    return page.locator("#size")


def test_the_size_follows_the_rules(editor):
    tick(editor, 1, "Eighth")
    expect(editor.locator("#trial-result")).to_contain_text("Choose at least one surface.")
    tick(editor, 1, "Snare")
    expect(size(editor)).to_have_text("16,777,216 fills: at one a minute, 32 years")
    expect(editor.locator(".examples svg")).to_have_count(3)
    assert_accessible(editor)
    add(editor, "Where notes go")
    tick(editor, 2, "16th")
    tick(editor, 2, "Toms")
    # Eight 16ths on three toms: 3^8.
    expect(size(editor)).to_have_text("6,561 fills: at one a minute, 5 days")
    rule(editor, 2).get_by_label("On or off these").select_option("Anywhere but on these")
    # Eight 16ths on the five other surfaces of the hands: 5^8.
    expect(size(editor)).to_have_text("390,625 fills: at one a minute, 9 months")
    expect(editor.locator(".sentences")).to_contain_text("16ths go anywhere but on the toms.")
    assert_accessible(editor)


def test_rules_are_moved_and_taken_out_with_all_that_is_typed(editor):
    tick(editor, 1, "Eighth")
    add(editor, "Which hand plays")
    rule(editor, 2).get_by_label("Lead").select_option("left hand")
    editor.get_by_role("button", name="Move rule 2 up").focus()
    editor.keyboard.press("Enter")
    expect(rule(editor, 1)).to_contain_text("Which hand plays")
    expect(editor.get_by_role("button", name="Move rule 1 up")).to_be_focused()
    expect(rule(editor, 1).get_by_label("Lead")).to_have_value("L")
    expect(rule(editor, 2).get_by_role("checkbox", name="Eighth", exact=True)).to_be_checked()
    expect(editor.locator(".rule-row .field-error")).to_have_count(0)
    editor.get_by_role("button", name="Take rule 2 out").click()
    expect(editor.locator(".rule-row")).to_have_count(1)
    expect(size(editor)).to_contain_text("fills")


def test_other_examples_are_shown_on_the_same_rules(editor):
    tick(editor, 1, "Snare")
    tick(editor, 1, "Ride")
    expect(size(editor)).to_have_text("4,096 fills: at one a minute, 3 days")
    before = editor.locator(".examples").inner_html()
    editor.get_by_role("button", name="Other examples").click()
    expect(editor.get_by_role("button", name="Other examples")).to_have_attribute("value", "3")
    assert editor.locator(".examples").inner_html() != before
    expect(editor.get_by_role("button", name="Other examples")).to_be_focused()


def test_rules_that_cannot_hold_together_are_named(editor):
    tick(editor, 1, "Snare")
    add(editor, "Where notes go")
    tick(editor, 2, "Ride")
    expect(editor.locator("#trial-result")).to_contain_text("cannot hold together")


def test_an_error_stands_by_its_field_and_nothing_typed_is_lost(editor):
    editor.get_by_label("Name").fill("Snare and ride")
    tick(editor, 1, "16th")
    editor.get_by_role("button", name="Save rule set").click()
    expect(editor.locator("#id_r0-surfaces_error")).to_have_text("Choose at least one surface.")
    expect(editor.get_by_label("Name")).to_have_value("Snare and ride")
    expect(rule(editor, 1).get_by_role("checkbox", name="16th", exact=True)).to_be_checked()
    assert_accessible(editor)
    tick(editor, 1, "Ride")
    editor.get_by_role("button", name="Save rule set").click()
    expect(editor.get_by_role("heading", name="Snare and ride")).to_be_visible()
    expect(editor.locator(".sentences")).to_have_text("16ths go on the ride.")
    assert_accessible(editor)


def test_a_rule_set_is_tried_on_another_bar_and_for_the_left_hand(screen, teacher, studio):
    rule_set = studio.rule_sets.get(name="Paradiddle on the 16ths, all on the snare")
    page = open_as(screen, teacher, f"/rule-sets/{rule_set.pk}/")
    expect(size(page)).to_have_text("1 fill")
    expect(page.locator(".examples desc")).to_contain_text("1 snare (R)")
    page.get_by_label("Kit").select_option("Standard kit, left-handed")
    expect(page.locator(".examples desc")).to_contain_text("1 snare (L)")
    page.get_by_label("Bar").select_option("Quarters (4/4)")
    expect(page.locator(".examples title")).to_contain_text("4 strokes")
    assert_accessible(page)


def test_every_page_of_bars_and_rules_can_be_used_by_all(screen, teacher, studio):
    page = open_as(screen, teacher, "/bars/")
    expect(page.locator(".bars .notation img")).to_have_count(studio.bars.count())
    assert_accessible(page)
    lists = ("/rule-sets/", "/rule-sets/ladders/", "/rule-sets/ladders/new/")
    for address in (*lists, "/rule-sets/rudiments/"):
        page.goto(address)
        assert_accessible(page)


@pytest.fixture
def asked(editor) -> list[str]:
    """The previews that the page asked for."""
    requests: list[str] = []
    editor.on("request", lambda sent: "/preview/" in sent.url and requests.append(sent.url))
    return requests


#: Longer than typing rests before the fills are counted.
A_REST = 900


def test_typing_the_name_counts_nothing(editor, asked):
    editor.get_by_label("Name").press_sequentially("Doubles round the kit", delay=20)
    editor.get_by_role("textbox", name="Note (optional)").press_sequentially("For Friday", delay=20)
    editor.keyboard.press("Tab")
    editor.wait_for_timeout(A_REST)
    assert asked == []


def test_the_fills_are_counted_once_typing_has_rested(editor, asked):
    add(editor, "Groups across the beat")
    add(editor, "Move on after a few strokes")
    tick(editor, 1, "Snare")
    expect(editor.locator("#trial-result")).to_contain_text("cannot hold")
    asked.clear()
    number = rule(editor, 3).get_by_label("Strokes in a row on one surface, at most")
    number.fill("")
    number.press_sequentially("12", delay=100)
    editor.keyboard.press("Tab")
    editor.wait_for_timeout(2 * A_REST)
    assert len(asked) == 1
