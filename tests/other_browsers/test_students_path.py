"""What a student does beside the kit, in the engines of Safari and Firefox: real touches, real
sound, a site that goes away and comes back."""

import pytest
from django.urls import reverse

from assignments.models import AssignedVariation, PracticeEntry, Take
from studio.models import SignInLink
from tests.assignments.making import first_fill, give_short
from tests.other_browsers.visitor import Visitor

pytestmark = pytest.mark.django_db(transaction=True)
COPIED = """async (path) => {
    for (const name of await caches.keys()) {
        if (!name.startsWith("fillwright-pages-")) continue;
        const copy = await (await caches.open(name)).match(path, { ignoreVary: true });
        if (copy) return Boolean(navigator.serviceWorker.controller);
    }
    return false;
}"""
SOUNDS_ARE_KEPT = (
    """async () => (await (await caches.open("fillwright-sounds")).keys()).length > 10"""
)
PLAYS = "() => Boolean(document.querySelector('[data-state=playing]'))"
RESTS = "() => !document.querySelector('[data-state=playing]')"
LIT = "() => Boolean(document.querySelector('.lit'))"
IS_TEXT = "(place, pattern) => new RegExp(pattern).test(document.querySelector(place).textContent)"
#: How often a bar of the click began.
COUNT_BARS = """() => {
    const beat = document.querySelector("[data-beat]");
    const look = () => { if (beat.textContent === "1") window.bars += 1; };
    if (!("bars" in window)) new MutationObserver(look).observe(beat, { childList: true });
    window.bars = 0;
}"""
SELECTABLE = """() => {
    const style = getComputedStyle(document.querySelector(".pads"));
    return style.userSelect ?? style.webkitUserSelect;
}"""


@pytest.fixture
def fill(student) -> AssignedVariation:
    return first_fill(give_short(student))


@pytest.fixture
def at_home(phone, student, fill) -> Visitor:
    """A phone that came in by the personal link."""
    phone.goto(reverse("studio:enter", args=[SignInLink.issue(student)]))
    phone.press("button", "Go to my practice")
    phone.find("heading", "*Today*")
    return phone


def play_the_plan(phone: Visitor) -> None:
    phone.goto("/today/?minutes=1")
    phone.press("button", "Start")
    phone.wait_for(PLAYS)
    phone.wait_for(IS_TEXT, "[data-stage-title]", "New today")
    phone.wait_for(IS_TEXT, "[data-stage-times]", "^3/")
    phone.press("button", "End")
    phone.wait_for(IS_TEXT, "[data-stage-total]", "Saved")
    phone.press("button", "All clean")
    phone.wait_for(IS_TEXT, "[data-stage-answered]", "All clean")


def play_the_fill(phone: Visitor, page: str) -> None:
    phone.goto(page)
    phone.press("button", "Play")
    phone.wait_for(PLAYS)
    phone.wait_for(LIT)
    phone.type(" ")
    phone.wait_for(RESTS)


def log(phone: Visitor, minutes: str) -> None:
    phone.press("button", "Practice without the page")
    phone.fill("Minutes", minutes)
    phone.press("button", "Save")


def record(phone: Visitor, strokes: int) -> None:
    """Along with the click, from the second bar on.

    What is struck before the first is left out, and a machine that is busy may show that one early.
    """
    phone.run(COUNT_BARS)
    phone.press("button", "Record")
    phone.wait_for("() => window.bars >= 3")
    for _ in range(strokes):
        phone.press("button", "*snare*")
    phone.wait_for(IS_TEXT, "[data-count]", f"^{strokes}$")


def test_what_is_played_by_the_plan_and_on_a_fills_page_sounds_and_is_kept(at_home, student, fill):
    play_the_plan(at_home)
    saved = PracticeEntry.objects.filter(student=student, variation=fill, loops=2, clean_loops=2)
    at_home.wait("what was played", lambda: saved.count() == 1)
    page = reverse("assignments:fill", args=[fill.pk])
    play_the_fill(at_home, page)
    at_home.goto(page)
    log(at_home, "7")
    at_home.sees("7 min", "#messages")
    assert PracticeEntry.objects.filter(student=student, minutes=7).count() == 1
    at_home.goto("/log/")
    at_home.sees("7 min")


def test_takes_on_pads_keep_every_stroke_the_second_time_too(at_home, fill):
    page = f"{reverse('assignments:record')}?fill={fill.pk}"
    at_home.goto(page)
    assert at_home.run(SELECTABLE) == "none"
    record(at_home, 0)
    at_home.press("button", "Stop")
    at_home.sees("No stroke was caught")
    record(at_home, 5)
    at_home.press("button", "Stop")
    at_home.wait("the take", Take.objects.exists)
    assert len(Take.objects.get().events) == 5


def test_practice_goes_on_while_the_site_does_not_answer(at_home, live_server, student, fill):
    page = reverse("assignments:fill", args=[fill.pk])
    at_home.wait_for(COPIED, page)
    at_home.wait_for(SOUNDS_ARE_KEPT)
    live_server.stop()
    at_home.goto(page)
    at_home.sees("The site does not answer.", "[data-device-state]")
    play_the_fill(at_home, page)
    at_home.goto(page)
    log(at_home, "5")
    at_home.sees("Kept on this device", "#messages")
    at_home.goto("/log/00000000-0000-0000-0000-000000000000/remove/")
    at_home.find("heading", "No network")
    at_home.find("button", "Sign out")
    live_server.start()
    at_home.run("() => { dispatchEvent(new Event('online')); }")
    at_home.wait(
        "the entry",
        lambda: PracticeEntry.objects.filter(student=student, minutes=5).count() == 1,
    )
    at_home.goto(page)
    at_home.wait_for("() => document.querySelector('[data-device-state]').hidden")
