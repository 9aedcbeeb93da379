"""A teacher chooses a student's grooves and assigns one that leads on; the student plays it."""

import pytest
from playwright.sync_api import expect

from assignments.models import Assignment
from tests.assignments.making import give, make_bar, make_groove, make_rule_set
from tests.browser.fill_steps import open_player
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)


def test_what_is_ticked_is_offered_first_and_assigned_with_its_last_bar(screen, teacher, student):
    make_bar(student.studio)
    make_rule_set(student.studio)
    make_groove(student.studio)
    page = open_as(screen, teacher, f"/students/{student.pk}/")
    page.get_by_role("link", name="Choose grooves for Mira").click()
    page.get_by_label("Walking").check()
    page.get_by_label("Disco").check()
    assert_accessible(page)
    page.get_by_role("button", name="Save the grooves of Mira").click()
    expect(page.get_by_text("Mira works with 2 grooves.")).to_be_visible()

    page.goto("/assign/")
    page.get_by_label("Bar", exact=True).select_option("Line 4")
    page.get_by_label("Rule set").select_option("Eighths stay")
    page.get_by_role("checkbox", name="Mira").check()
    theirs = page.locator("#id_groove optgroup").first
    expect(theirs).to_have_attribute("label", "What they work with")
    page.get_by_label("Groove").select_option("Disco, in 4/4")
    page.get_by_label("Its last bar leads into the fill").check()
    expect(page.locator("#drawn .fill-card")).to_have_count(3)
    expect(page.get_by_label("Groove")).to_have_value("disco")
    assert_accessible(page)
    page.get_by_role("button", name="Assign 3 fills to Mira").click()
    page.wait_for_url(f"**/students/{student.pk}/")
    given = Assignment.objects.get()
    assert (given.groove, given.sets_up) == ("disco", True)


def test_a_groove_without_such_a_bar_is_said_at_once(screen, teacher, student):
    make_bar(student.studio)
    page = open_as(screen, teacher, "/assign/")
    page.get_by_label("Bar", exact=True).select_option("Line 4")
    page.get_by_label("Groove").select_option("ska")
    page.get_by_label("Its last bar leads into the fill").check()
    expect(page.locator("#id_sets_up_error")).to_contain_text("“ska” has no bar that leads")


def test_the_student_changes_among_their_grooves_and_sees_the_one_they_were_given(screen, student):
    student.grooves.create(name="bossa nova")
    fill = give(student, 1).variations.get()
    page = open_player(open_as(screen, student, f"/fills/{fill.pk}/"))
    groove = page.locator("#player-groove")
    expect(groove.locator("option")).to_have_text(["Rock", "Bossa nova"])
    groove.select_option("bossa nova")
    page.locator("[data-player-play]").click()
    expect(page.locator("[data-player-bar]")).to_have_text("Bar 1 of 4", timeout=15_000)
    page.locator("[data-player-play]").click()
    expect(page.get_by_role("heading", name="Before it: rock")).to_be_visible()
    expect(page.locator(".fill-groove .notation svg").first).to_be_visible()
    assert_accessible(page)
