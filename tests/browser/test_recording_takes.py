"""Recording takes with real clicks and keys; a kit put in at the browser's MIDI interface."""

import pytest
from playwright.sync_api import Page, expect

from assignments.models import KitMap, Take
from tests.assignments.making import first_fill, give, strokes_of
from tests.assignments.takes.test_take_store import midi_file
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)

#: One MIDI input, as browsers give it: messages come as bytes with the time of the page's clock.
KIT = """
window.kit = {
  name: "Practice kit", state: "connected", onmidimessage: null,
  send(bytes, timeStamp = performance.now()) {
    this.onmidimessage?.({ data: new Uint8Array(bytes), timeStamp });
  },
};
window.access = { inputs: new Map([["1", window.kit]]), onstatechange: null };
navigator.requestMIDIAccess = async () => window.access;
"""
REFUSED = (
    'navigator.requestMIDIAccess = async () => { throw new DOMException("no", "SecurityError"); }'
)
#: Safari, and each browser of an iPhone.
WITHOUT_MIDI = "delete Navigator.prototype.requestMIDIAccess"
PLAY = """([hits, delay]) => {
  const start = performance.now() + delay;
  for (const [ms, key, velocity] of hits) {
    window.kit.send([0x99, key, velocity], start + ms);
    window.kit.send([0x89, key, 0], start + ms + 40);
  }
}"""


@pytest.fixture
def fill(student):
    return first_fill(give(student, 1, tempo=200))


def start_recording(page: Page, click: bool = False) -> None:
    if not click:
        page.get_by_label("Click, with a bar counted in").uncheck()
    page.get_by_role("button", name="Record", exact=True).click()
    expect(page.get_by_role("button", name="Stop")).to_be_visible()


def stop(page: Page) -> None:
    page.get_by_role("button", name="Stop").click()
    page.wait_for_url("**/takes/*-*/")


def test_an_electronic_kit_is_heard_and_each_note_judged(screen, student, fill):
    screen.add_init_script(KIT)
    open_as(screen, student, f"/fills/{fill.pk}/")
    screen.get_by_role("link", name="Record a take").click()
    screen.get_by_role("button", name="Use an electronic kit").click()
    expect(screen.get_by_text("Listening to Practice kit")).to_be_visible()
    assert_accessible(screen)
    start_recording(screen)
    hits = strokes_of(fill.as_fill, 200)
    wrong = 51 if hits[3][1] != 51 else 45
    hits[3][1] = wrong
    missed = hits.pop(6)
    screen.evaluate(PLAY, [hits, 0])
    expect(screen.locator(".recorder [data-count]")).to_have_text(str(len(hits)))
    stop(screen)
    total = len(hits) + 1
    expect(screen.get_by_role("heading", name=f"{total - 2} of {total} right")).to_be_visible()
    expect(screen.locator(".errors li")).to_have_count(2)
    expect(screen.locator(".mark-wrong")).to_have_count(2)
    expect(screen.locator(".mark-missed")).to_have_count(2)
    assert_accessible(screen)
    take = Take.objects.get()
    assert (take.source, len(take.events)) == ("web midi", len(hits))
    assert missed not in take.events


def test_strokes_on_a_kit_are_held_against_the_click(phone, student, fill):
    """The click is really played; the strokes come 40 ms after its beats."""
    phone.add_init_script(KIT)
    open_as(phone, student, f"/takes/record/?fill={fill.pk}")
    phone.get_by_role("button", name="Use an electronic kit").click()
    phone.evaluate("""() => {
      localStorage.setItem("device-delay", JSON.stringify({ "web midi": { latency: 0 } }));
    }""")
    start_recording(phone, click=True)
    expect(phone.locator(".recorder [data-beat]")).to_have_text("1")
    phone.evaluate("() => { window.first = performance.now(); }")
    phone.wait_for_timeout(1500)
    stop_at_once = strokes_of(fill.as_fill, 200)
    phone.evaluate(
        "hits => hits.forEach(([ms, key]) => kit.send([0x99, key, 90], first + 1200 + 40 + ms))",
        stop_at_once,
    )
    stop(phone)
    take = Take.objects.get()
    assert take.click["tempo"] == 200
    assert {note["outcome"] for note in take.analysis["attempts"][0]["notes"]} == {"right"}
    # The beat is shown by a timer of the page, which a busy machine lets wait.
    assert -60 < take.analysis["timing"]["bias"] < 160


def test_pads_are_struck_by_finger_and_by_key(screen, student, fill):
    open_as(screen, student, "/takes/record/")
    start_recording(screen)
    for name in ("snare", "high tom", "floor tom"):
        screen.get_by_role("button", name=name).click()
    screen.keyboard.press("f")
    screen.keyboard.press("Space")
    expect(screen.locator(".recorder [data-count]")).to_have_text("5")
    stop(screen)
    assert [key for _, key, _ in Take.objects.get().events] == [38, 48, 43, 38, 36]
    expect(screen.get_by_role("heading", name="What was played")).to_be_visible()
    assert_accessible(screen)


def test_a_take_that_the_network_did_not_take_is_kept_and_sent_by_itself(
    phone, student, fill, console_errors
):
    open_as(phone, student, "/takes/record/")
    start_recording(phone)
    for _ in range(6):
        phone.get_by_role("button", name="snare").click()
    phone.context.set_offline(True)
    phone.get_by_role("button", name="Stop").click()
    expect(phone.locator(".recorder [data-status]")).to_contain_text("Kept on this device.")
    assert not Take.objects.exists()
    phone.context.set_offline(False)
    expect(phone.locator("[data-device-state]")).to_be_hidden()
    assert len(Take.objects.get().events) == 6
    console_errors.clear()  # the browser complains of the network that was away


def test_a_tempo_that_cannot_be_is_named_before_anything_is_recorded(phone, student):
    open_as(phone, student, "/takes/record/")
    phone.get_by_label("Tempo").fill("999")
    phone.get_by_role("button", name="Record", exact=True).click()
    expect(phone.locator(".recorder [data-status]")).to_contain_text("from 30 to 240")


def test_a_recording_without_a_stroke_is_not_sent(phone, student):
    open_as(phone, student, "/takes/record/")
    start_recording(phone)
    phone.get_by_role("button", name="Stop").click()
    expect(phone.locator(".recorder [data-status]")).to_contain_text("No stroke was caught")
    assert not Take.objects.exists()


def test_a_browser_that_refuses_midi_says_so_and_leaves_the_pads(phone, student):
    phone.add_init_script(REFUSED)
    open_as(phone, student, "/takes/record/")
    phone.get_by_role("button", name="Use an electronic kit").click()
    expect(phone.locator("[data-midi-message]")).to_contain_text("use the pads")


def test_a_browser_without_midi_says_so_where_the_button_would_be(phone, student):
    phone.add_init_script(WITHOUT_MIDI)
    open_as(phone, student, "/takes/record/")
    expect(phone.locator("[data-midi-message]")).to_contain_text("cannot hear an electronic kit")
    expect(phone.get_by_role("button", name="Use an electronic kit")).to_have_count(0)
    phone.goto("/takes/delay/")
    expect(phone.locator(".recorder")).to_contain_text("cannot hear an electronic kit")
    expect(phone.get_by_label("I play on").locator("option")).to_have_text(["pads or keys"])


def test_a_browser_that_is_asked_for_a_kit_says_so_at_once(phone, student):
    phone.add_init_script("navigator.requestMIDIAccess = () => new Promise(() => {})")
    open_as(phone, student, "/takes/record/")
    phone.get_by_role("button", name="Use an electronic kit").click()
    expect(phone.locator("[data-midi-message]")).to_contain_text("Asking the browser")


def test_a_device_that_gives_no_sound_says_so(phone, student):
    phone.add_init_script(
        "AudioContext.prototype.resume = () => new Promise(() => {});"
        "Object.defineProperty(AudioContext.prototype, 'state', { get: () => 'suspended' });"
    )
    open_as(phone, student, "/takes/delay/")
    phone.get_by_role("button", name="Start the click").click()
    expect(phone.locator(".recorder [data-status]")).to_contain_text("gives no sound now")


def test_a_kit_is_learnt_by_hitting_each_drum_once(screen, student):
    screen.add_init_script(KIT)
    open_as(screen, student, "/takes/kit/")
    assert_accessible(screen)
    screen.get_by_role("button", name="Begin").click()
    expect(screen.locator("[data-wanted]")).to_have_text("snare")
    screen.evaluate("kit.send([0x99, 60, 90])")
    expect(screen.locator("[data-learn] [data-message]")).to_have_text("Key 60: snare.")
    expect(screen.locator("[data-wanted]")).to_have_text("high tom")
    screen.evaluate("kit.send([0x99, 43, 90])")
    for _ in range(len(student.kit.surfaces) - 2):
        screen.get_by_role("button", name="Not on my kit").click()
    screen.get_by_role("button", name="Keep this").click()
    expect(screen.locator("#messages")).to_contain_text("Kept")
    assert KitMap.objects.get().surfaces == {43: "high tom", 60: "snare"}


def test_a_device_is_measured_along_the_click_and_the_delay_goes_with_each_take(phone, student):
    phone.add_init_script(KIT)
    open_as(phone, student, "/takes/delay/")
    assert_accessible(phone)
    phone.get_by_label("I play on").select_option("web midi")
    expect(phone.locator(".recorder [data-status]")).to_have_text("Not measured yet.")
    phone.get_by_role("button", name="Start the click").click()
    expect(phone.locator(".recorder [data-beat]")).to_have_text("1")
    phone.evaluate("() => { window.first = performance.now(); }")
    beat = 60_000 / 90
    phone.wait_for_timeout(4 * beat + 200)
    times = [beat * k + 30 for k in range(4, 20)]
    phone.evaluate("times => times.forEach(ms => kit.send([0x99, 38, 90], first + ms))", times)
    expect(phone.locator(".recorder [data-status]")).to_contain_text("ms late")
    kept = phone.evaluate("JSON.parse(localStorage.getItem('device-delay'))['web midi']")
    assert kept["strokes"] == 16
    assert kept["spread"] < 1
    phone.get_by_role("button", name="Forget it").click()
    expect(phone.locator(".recorder [data-status]")).to_have_text("Not measured yet.")


def test_a_midi_file_is_sent_with_a_click(screen, student, fill):
    open_as(screen, student, "/takes/")
    screen.get_by_role("link", name="Send a MIDI file").click()
    data = midi_file(strokes_of(fill.as_fill, 200), 200)
    screen.get_by_label("MIDI file").set_input_files(
        {"name": "take.mid", "mimeType": "audio/midi", "buffer": data}
    )
    screen.get_by_label("What you played").select_option(str(fill.pk))
    assert_accessible(screen)
    screen.get_by_role("button", name="Send it").click()
    expect(screen.get_by_role("heading", name="12 of 12 right")).to_be_visible()


def test_a_teacher_enters_a_bar_in_the_lesson_with_few_touches(screen, teacher, student, fill):
    open_as(screen, teacher, f"/students/{student.pk}/")
    screen.get_by_role("link", name="Takes").click()
    screen.get_by_role("link", name="Enter what Mira played").first.click()
    screen.get_by_text("floor tom", exact=True).first.click()
    screen.get_by_role("button", name="Beat 4, 4: nothing").click()
    screen.get_by_role("button", name="Beat 4, e: nothing").click()
    screen.get_by_role("button", name="Beat 4, e: floor tom").click()
    expect(screen.get_by_role("button", name="Beat 4, e: nothing")).to_be_visible()
    screen.get_by_text("snare", exact=True).first.click()
    screen.get_by_role("button", name="Beat 1, 1: nothing").click()
    screen.get_by_role("button", name="Beat 3, &: nothing").click()
    screen.get_by_label("Together with what is there").check()
    screen.get_by_role("button", name="Beat 4, 4: floor tom").click()
    expect(screen.get_by_role("button", name="Beat 4, 4: floor tom and snare")).to_be_visible()
    screen.get_by_role("button", name="Beat 3, &: snare").click()
    expect(screen.get_by_role("button", name="Beat 3, &: nothing")).to_be_visible()
    assert_accessible(screen)
    screen.get_by_role("button", name="Keep this take").click()
    expect(screen.get_by_role("heading", name="What was played")).to_be_visible()
    assert [key for _, key, _ in Take.objects.get().events] == [38, 38, 43]


def test_a_student_sees_what_is_kept_and_takes_a_take_back(phone, student, fill):
    open_as(phone, student, "/takes/record/")
    start_recording(phone)
    for _ in range(5):
        phone.get_by_role("button", name="snare").click()
    stop(phone)
    phone.goto("/about-me/")
    expect(phone.get_by_role("row", name="Takes: what you played 1")).to_be_visible()
    assert_accessible(phone)
    with phone.expect_download() as download:
        phone.get_by_role("link", name="Take all of it along as a file").click()
    assert download.value.suggested_filename == "what-is-kept-about-me.json"
    phone.goto("/takes/")
    assert_accessible(phone)
    phone.get_by_role("link", name="Remove").click()
    phone.get_by_role("button", name="Remove").click()
    expect(phone.get_by_text("This page", exact=False).or_(phone.locator(".empty"))).to_be_visible()
    phone.get_by_role("button", name="Undo").click()
    expect(phone.locator(".log li")).to_have_count(1)
