"""What is played saves itself: once, with Undo, and also where the tab is closed in mid-play."""

import pytest
from playwright.sync_api import Page, expect

from assignments.models import AssignedVariation, PracticeEntry
from tests.assignments.making import first_fill, give
from tests.browser.fill_steps import at_the_fastest, open_player
from tests.browser.offline.student_steps import set_network, wait_until_sent
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)

#: Fast, for short tests: a bar lasts a second.
FASTEST = 240


@pytest.fixture
def fill(student) -> AssignedVariation:
    return first_fill(give(student, 2, tempo=FASTEST))


@pytest.fixture
def page(phone, student, fill) -> Page:
    opened = at_the_fastest(open_player(open_as(phone, student, f"/fills/{fill.pk}/")))
    opened.get_by_role("button", name="Fill alone").click()
    opened.get_by_label("Times through", exact=True).select_option("for ever")
    return opened


def play_through(page: Page, loops: int) -> None:
    """Until so many times through are over, then stop."""
    page.locator("[data-player-play]").click()
    expect(page.locator("[data-player-loop]")).to_have_text(f"Time {loops + 1}", timeout=20_000)
    page.locator("[data-player-play]").click()
    expect(line(page)).to_contain_text("aved")


def line(page: Page):
    return page.locator("[data-player-status]")


def test_play_stop_and_play_on_is_one_entry_that_grows(page, fill):
    play_through(page, 1)
    expect(line(page)).to_contain_text("once through")
    play_through(page, 1)
    expect(line(page)).to_contain_text("2 times through")
    assert_accessible(page)
    wait_until_sent(page)
    entry = PracticeEntry.objects.get()
    assert (entry.variation, entry.loops, entry.tempo) == (fill, 2, FASTEST)


def test_undo_takes_it_out_of_the_log_once(page):
    play_through(page, 1)
    wait_until_sent(page)
    page.get_by_role("button", name="Undo").click()
    expect(line(page)).to_contain_text("Removed: ")
    expect(page.get_by_role("button", name="Undo")).to_have_count(0)
    wait_until_sent(page)
    assert [entry.removed_at is None for entry in PracticeEntry.objects.all()] == [False]


@pytest.mark.usefixtures("meant_to_fail")
def test_without_a_network_it_says_so_and_undo_leaves_nothing_to_send(page):
    play_through(page, 1)
    wait_until_sent(page)
    page.get_by_role("button", name="Undo").click()
    wait_until_sent(page)
    set_network(page, False)
    play_through(page, 1)
    expect(line(page)).to_contain_text("Saved on this phone, sent later: ")
    page.get_by_role("button", name="Undo").click()
    expect(line(page)).to_contain_text("Removed: ")
    set_network(page, True)
    wait_until_sent(page)
    assert PracticeEntry.objects.count() == 1


def test_a_tab_that_is_closed_in_mid_play_loses_nothing_that_was_through(page, student, fill):
    page.locator("[data-player-play]").click()
    expect(page.locator("[data-player-loop]")).to_have_text("Time 3", timeout=20_000)
    again = page.context.new_page()
    page.close()
    again.goto(f"/fills/{fill.pk}/")
    wait_until_sent(again)
    entry = PracticeEntry.objects.get()
    assert entry.loops >= 2


def test_the_form_stays_empty_whatever_is_played(page):
    play_through(page, 1)
    assert page.get_by_label("Minutes", exact=True).input_value() == ""


def test_a_send_that_is_repeated_and_one_that_is_late_count_once(page):
    bodies = []
    page.on("request", lambda sent: bodies.append(sent.post_data or ""))
    play_through(page, 1)
    wait_until_sent(page)
    play_through(page, 1)
    wait_until_sent(page)
    send = """async (bodies) => {
        const token = document.cookie.match(/csrftoken=([^;]*)/)[1];
        const headers = { "Content-Type": "application/json", "X-CSRFToken": token };
        const address = document.querySelector("[data-device]").dataset.entries;
        const answers = [];
        for (const body of bodies) {
            answers.push((await fetch(address, { method: "POST", headers, body })).status);
        }
        return answers;
    }"""
    entries = [body for body in bodies if '"seconds"' in body]
    before = PracticeEntry.objects.get().snapshot
    assert page.evaluate(send, [*reversed(entries), *entries]) == [200] * (2 * len(entries))
    assert PracticeEntry.objects.get().snapshot == before
