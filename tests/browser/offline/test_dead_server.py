"""The device believes that it has a network, and the site does not answer: nothing is lost."""

from collections.abc import Callable, Iterator

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from assignments.days import today_in
from assignments.models import EntryChange, KitMap, MasteryEvent, PracticeEntry, Take
from assignments.practice.practice_log import mark_mastered
from tests.assignments.making import logged, strokes_of, taken
from tests.assignments.takes.test_take_store import midi_file
from tests.browser.held_answers import HeldAnswers
from tests.browser.offline.relay import Relay
from tests.browser.offline.student_steps import state, wait_until
from tests.browser.page_checks import PHONE
from tests.browser.signing_in import open_as

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("meant_to_fail")]

NOTHING_WAITS = "() => JSON.parse(localStorage['fillwright-afterwards'] ?? '[]').length === 0"


@pytest.fixture
def live_server(live_server) -> Iterator[Relay]:
    """The site, behind a network that can be cut without the device knowing."""
    relay = Relay(live_server)
    yield relay
    relay.start()
    relay.stop()


def come_back(page: Page) -> None:
    """What would be tried in some seconds is tried now."""
    page.evaluate("dispatchEvent(new Event('online'))")
    wait_until(page, f"async {NOTHING_WAITS}")


@pytest.mark.parametrize("fault", [Relay.stop, Relay.hang, Relay.lose_answers])
def test_a_fill_marked_as_mastered_is_kept_and_sent_once(
    device, live_server, fault: Callable[[Relay], None]
):
    fault(live_server)
    device.get_by_role("button", name="Mastered").click()
    expect(device.locator("#messages")).to_contain_text(", mastered. It is sent by itself")
    expect(state(device)).to_contain_text("1 change waits")
    live_server.start()
    come_back(device)
    expect(state(device)).to_be_hidden()
    assert MasteryEvent.objects.count() == 1


def test_a_fill_marked_as_mastered_says_so_and_can_be_taken_back(device, live_server):
    fill = device.get_by_role("heading", level=1).inner_text()
    device.get_by_role("button", name="Mastered").click()
    expect(device.locator("#messages")).to_contain_text(f"Mastered: {fill}")
    device.locator("#messages").get_by_role("button", name="Undo").click()
    expect(device.locator("#messages")).to_contain_text(f"Not mastered yet: {fill}")


def test_a_copy_says_that_the_site_does_not_answer_until_it_does(device, live_server):
    live_server.stop()
    device.reload()
    expect(state(device)).to_contain_text("The site does not answer.")
    live_server.start()
    device.evaluate("dispatchEvent(new Event('online'))")
    expect(state(device)).to_be_hidden()


@pytest.mark.parametrize("fault", [Relay.stop, Relay.hang])
def test_a_take_is_kept_and_sent_once(
    open_page, student, live_server, fault: Callable[[Relay], None]
):
    page = open_page(PHONE)
    open_as(page, student, reverse("assignments:record"))
    page.get_by_label("Click, with a bar counted in").uncheck()
    page.get_by_role("button", name="Record", exact=True).click()
    page.locator("[data-pad]").first.click()
    fault(live_server)
    page.get_by_role("button", name="Stop").click()
    expect(page.locator("[data-status]")).to_contain_text("Kept on this device.")
    expect(state(page)).to_contain_text("1 take waits")
    live_server.start()
    come_back(page)
    assert Take.objects.count() == 1


@pytest.fixture
def entry(student, fill) -> PracticeEntry:
    return logged(student, 5, today_in(student.studio), fill)


@pytest.fixture
def open_form(open_page, student):
    """A page of this name on the student's phone."""

    def at(name: str, *parts: object) -> Page:
        page = open_page(PHONE)
        open_as(page, student, reverse(f"assignments:{name}", args=parts))
        return page

    return at


def test_a_press_before_the_scripts_are_there_waits_for_them(open_form, fill):
    page = open_form("fill", fill.pk)
    page.route("**/mastered/", lambda route: route.abort())
    scripts = HeldAnswers(page, "**/offline_page.js")
    page.goto(page.url, wait_until="commit")
    page.get_by_role("button", name="Mastered").click(no_wait_after=True)
    scripts.answer_all()
    expect(page.locator("#messages")).to_contain_text(", mastered. It is sent by itself")


@pytest.mark.parametrize("fault", [Relay.stop, Relay.lose_answers])
def test_a_changed_entry_is_kept_and_sent_once(
    open_form, entry, live_server, fault: Callable[[Relay], None]
):
    page = open_form("entry-edit", entry.pk)
    fault(live_server)
    page.get_by_label("Minutes", exact=True).fill("9")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#messages")).to_contain_text("changed. It is sent by itself")
    expect(state(page)).to_contain_text("1 change waits")
    live_server.start()
    come_back(page)
    entry.refresh_from_db()
    assert (entry.minutes, entry.changes.count()) == (9, 1)


def test_signing_out_sends_first_what_waits(open_form, entry, live_server):
    page = open_form("entry-edit", entry.pk)
    live_server.stop()
    page.get_by_label("Minutes", exact=True).fill("9")
    page.get_by_role("button", name="Save").click()
    expect(state(page)).to_contain_text("1 change waits")
    live_server.start()
    page.get_by_role("button", name="Sign out").click()
    expect(page).to_have_url(f"{live_server.url}/")
    entry.refresh_from_db()
    assert entry.minutes == 9


def test_a_file_that_is_gone_is_asked_for_again(open_form, fill):
    page = open_form("take-upload")
    page.get_by_label("MIDI file").set_input_files(
        {"name": "take.mid", "mimeType": "audio/midi", "buffer": b"a file"}
    )
    page.evaluate("() => { File.prototype.arrayBuffer = () => Promise.reject(new Error('gone')); }")
    page.get_by_role("button", name="Send it").click()
    expect(page.locator(".form-error")).to_contain_text("Choose it once more")
    expect(page.get_by_role("button", name="Send it")).to_be_enabled()


def test_a_removal_that_waits_and_its_undoing_cancel_out(open_form, entry, live_server):
    page = open_form("entry-remove", entry.pk)
    live_server.hang()
    page.get_by_role("button", name="Remove 5 min").click()
    expect(page.locator("#messages")).to_contain_text("removed. It is sent by itself")
    page.locator("#messages").get_by_role("button", name="Undo").click()
    expect(page.locator("#messages")).to_contain_text("Nothing was changed.")
    live_server.start()
    come_back(page)
    assert not EntryChange.objects.exists()


def test_a_removal_that_may_have_arrived_is_undone_after_it(open_form, entry, live_server):
    page = open_form("entry-remove", entry.pk)
    page.route("**/remove/", lambda route: (route.fetch(), route.abort()))
    page.get_by_role("button", name="Remove 5 min").click()
    expect(page.locator("#messages")).to_contain_text("Kept on this device")
    page.unroute("**/remove/")
    page.locator("#messages").get_by_role("button", name="Undo").click()
    expect(page).to_have_url(f"{live_server.url}{reverse('assignments:my-log')}")
    kinds = EntryChange.objects.order_by("pk").values_list("kind", flat=True)
    assert list(kinds) == ["removed", "restored"]


def test_what_is_refused_later_is_shown_and_comes_back_into_its_form(open_form, entry, live_server):
    page = open_form("entry-edit", entry.pk)
    live_server.stop()
    page.get_by_label("Minutes", exact=True).fill("999")
    page.get_by_role("button", name="Save").click()
    expect(state(page)).to_contain_text("1 change waits")
    live_server.start()
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(state(page)).to_contain_text("1 change could not be sent as it is.")
    state(page).get_by_role("link", name="Look at it").click()
    expect(page.get_by_role("main")).to_contain_text("Not taken:")
    page.get_by_role("link", name="Change", exact=True).click()
    expect(page.get_by_label("Minutes", exact=True)).to_have_value("999")
    expect(page.locator(".field", has_text="Minutes").locator(".field-error").first).to_be_visible()
    expect(page.locator(".form-error")).to_have_count(0)
    page.get_by_label("Minutes", exact=True).fill("9")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#messages")).to_contain_text("Changed: 9 min")
    expect(state(page)).to_be_hidden()


def test_what_was_ticked_comes_back_ticked(open_form, entry, fill, live_server):
    mark_mastered(fill)
    page = open_form("entry-edit", entry.pk)
    live_server.stop()
    page.get_by_label("Minutes", exact=True).fill("999")
    page.get_by_label("Played cold").check()
    page.get_by_role("button", name="Save").click()
    expect(state(page)).to_contain_text("1 change waits")
    live_server.start()
    page.evaluate("dispatchEvent(new Event('online'))")
    state(page).get_by_role("link", name="Look at it").click()
    page.get_by_role("link", name="Change", exact=True).click()
    expect(page.get_by_label("Minutes", exact=True)).to_have_value("999")
    expect(page.get_by_label("Played cold")).to_be_checked()


def test_what_is_refused_at_once_stands_beside_its_field(open_form, entry):
    page = open_form("entry-edit", entry.pk)
    page.get_by_label("Minutes", exact=True).fill("999")
    page.get_by_role("button", name="Save").click()
    expect(page.locator(".field", has_text="Minutes").locator(".field-error").first).to_be_visible()
    expect(state(page)).to_be_hidden()


def test_a_midi_file_is_kept_and_sent_once(open_form, fill, live_server):
    page = open_form("take-upload")
    live_server.stop()
    file = midi_file(strokes_of(fill.as_fill, 92), 92)
    page.get_by_label("MIDI file").set_input_files(
        {"name": "take.mid", "mimeType": "audio/midi", "buffer": file}
    )
    page.get_by_role("button", name="Send it").click()
    expect(state(page)).to_contain_text("1 take waits")
    live_server.start()
    come_back(page)
    take = Take.objects.get()
    assert (take.file_name, len(take.events)) == ("take.mid", len(fill.as_fill.strokes))


def test_what_a_kit_sends_is_kept_and_sent(open_form, student, live_server):
    page = open_form("kit-map")
    live_server.stop()
    page.get_by_label("Key 38").select_option("floor tom")
    page.get_by_role("button", name="Keep this").click()
    expect(state(page)).to_contain_text("1 change waits")
    live_server.start()
    come_back(page)
    assert KitMap.objects.get(student=student).surfaces == {38: "floor tom"}


def test_the_tempo_of_a_take_is_kept_and_sent(open_form, student, fill, live_server):
    take = taken(student, fill)
    page = open_form("take", take.pk)
    live_server.stop()
    page.get_by_text("It was played at another tempo").click()
    page.get_by_label("Tempo").fill("61")
    page.get_by_role("button", name="Read it so").click()
    expect(state(page)).to_contain_text("1 change waits")
    live_server.start()
    come_back(page)
    take.refresh_from_db()
    assert take.said_tempo == 61
