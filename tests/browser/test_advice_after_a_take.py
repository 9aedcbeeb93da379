"""After a take: one sentence, and a touch that plays the part it is about, over and over, slower.

What is heard is read off the audio clock: each sound is asked for at its time, to the sample.
"""

import pytest
from playwright.sync_api import Page, expect

from assignments.models import Take
from assignments.takes.take_advice import COUNTED_IN
from rhythms.engine.fills.fill_part import FillPart, part_around
from tests.assignments.making import taken
from tests.assignments.takes.test_take_advice import TEMPO, four_times
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)
LATE_NOTE = 4
#: Late in three of four: a tenth slower, and a fifth by the share of times it went wrong.
SLOWER = round(TEMPO * (0.9 - 0.2 * 3 / 4))
#: When each sound begins, and which notes were lit.
WATCH = """
    window.heard = [];
    const { start } = AudioBufferSourceNode.prototype;
    AudioBufferSourceNode.prototype.start = function (when = 0, ...more) {
      window.heard.push(when);
      return start.call(this, when, ...more);
    };
"""
WATCH_LIGHT = """() => {
    window.lit = [];
    const look = () => {
      for (const { id } of document.querySelectorAll("g.stroke.lit")) {
        const note = Number(id.match(/-s(\\d+)$/)[1]);
        if (window.lit.at(-1) !== note) window.lit.push(note);
      }
    };
    const options = { subtree: true, attributeFilter: ["class"] };
    new MutationObserver(look).observe(document.querySelector(".advice-part"), options);
}"""


@pytest.fixture
def take(student, variation) -> Take:
    events = four_times(variation.as_fill, late=LATE_NOTE)
    return taken(student, variation, tempo=TEMPO, events=events, seconds=12)


@pytest.fixture
def part(variation) -> FillPart:
    return part_around(variation.as_fill, (LATE_NOTE,))


def play_along(page: Page, student, take: Take) -> None:
    page.add_init_script(WATCH)
    open_as(page, student, f"/takes/{take.pk}/")
    page.evaluate(WATCH_LIGHT)
    page.get_by_role("button", name="Play it along").click()


def wait_for_notes(page: Page, number: int) -> list[int]:
    for _ in range(600):
        if len(lit := page.evaluate("() => window.lit")) >= number:
            return lit[:number]
        page.wait_for_timeout(50)
    raise AssertionError(f"{lit}: not {number} notes")


def test_it_says_what_went_wrong_and_offers_the_part(screen, student, take, part):
    page = open_as(screen, student, f"/takes/{take.pk}/")
    expect(page.locator(".advice-said")).to_contain_text("came late in 3 of 4")
    expect(page.locator(".advice-said")).to_contain_text(f"at {SLOWER}")
    again = page.get_by_role("button", name=f"the part that is marked, at {SLOWER}")
    expect(again).to_be_visible()
    expect(page.locator(".advice-part .played-again")).to_have_count(1)
    expect(page.locator(".advice-part .played-around")).to_have_count(len(part.notes) - 1)
    assert_accessible(page)


def test_the_part_alone_is_lit_round_after_round(phone, student, take, part):
    play_along(phone, student, take)
    once = list(part.notes)
    assert wait_for_notes(phone, 2 * len(once)) == 2 * once


def test_it_sounds_slower_behind_a_bar_counted_in(phone, student, take, part):
    play_along(phone, student, take)
    wait_for_notes(phone, len(part.notes))
    heard = phone.evaluate("() => window.heard")
    beats = sorted({round((when - heard[0]) * SLOWER / 60, 3) for when in heard})
    length = len(part.fill.bar.meter.beats)
    strokes = {COUNTED_IN + round(float(note.onset), 3) for note in part.fill.bar.sounded}
    clicks = set(range(COUNTED_IN + length))
    assert [beat for beat in beats if beat < COUNTED_IN + length] == sorted(clicks | strokes)


def test_a_second_touch_ends_it(phone, student, take):
    play_along(phone, student, take)
    wait_for_notes(phone, 1)
    phone.get_by_role("button", name="Stop").click()
    expect(phone.get_by_role("button", name="Play it along")).to_be_visible()
    expect(phone.locator("g.stroke.lit")).to_have_count(0)
