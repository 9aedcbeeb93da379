"""The stage on the screens that it is read from: sizes as they are drawn, and what fingers do."""

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, expect

from assignments.blocks import groove_written
from rhythms.models import Rendering
from rhythms.notation.engraving_error import EngravingError
from rhythms.renderings import rendering_maker
from tests.assignments.making import first_fill, give, make_bar, make_rule_set
from tests.browser.page_checks import DESKTOP, PHONE, assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)
ON_ITS_SIDE = {"width": 844, "height": 390}
SMALL = {"width": 360, "height": 780}
SMALLEST = {"width": 320, "height": 568}
#: Of a phone 390 px wide, in mm; and the arc of a mm at a metre, in minutes: 60 * 180 / pi / 1000.
A_PIXEL, A_MILLIMETRE = 0.166, 3.4377
MEASURED = """() => {
    const drawing = document.querySelector("[data-stage-notation] svg");
    const heads = [...drawing.querySelectorAll("g.stroke")].map((one) => one.querySelector("use"));
    const box = drawing.getBoundingClientRect();
    return {
        staff: (720 * box.width) / drawing.viewBox.baseVal.width,
        rows: drawing.dataset.rows.split(" ").length - 1,
        head: Math.min(...heads.map((head) => head.getBoundingClientRect().width)),
        right: Math.max(...heads.map((head) => head.getBoundingClientRect().right)),
        bottom: box.bottom,
    };
}"""
SHIFTS = """
    window.shifted = 0;
    new PerformanceObserver((list) => {
        for (const { value, hadRecentInput } of list.getEntries()) {
            if (!hadRecentInput) window.shifted += value;
        }
    }).observe({ type: "layout-shift", buffered: true });
"""
#: Once a note sounds: how far its bar is from its head, aside and down.
BAR_UNDER_NOTE = """() => new Promise((found) => {
    const look = () => {
        const head = document.querySelector("[data-stage-notation] .stroke.lit use");
        const mark = document.querySelector("[data-stage-mark]");
        if (!head || mark.hidden) return void requestAnimationFrame(look);
        const [box, bar] = [head.getBoundingClientRect(), mark.getBoundingClientRect()];
        found({ aside: bar.left - box.left, below: bar.top - box.bottom, height: bar.height });
    };
    look();
})"""

#: What is lit in an engraving while bars go by: the beat that is said, and which stroke it is.
LIT_IN = """(place) => new Promise((found) => {
    const shown = document.querySelector(place), said = [];
    const look = () => {
        const stroke = shown.querySelector(".stroke.lit");
        const beat = Number(document.querySelector("[data-stage-beat]").textContent);
        const now = stroke && [beat, Number(stroke.id.match(/-s(\\d+)/)[1])];
        if (now && String(now) !== String(said.at(-1))) said.push(now);
        if (said.length < 24) requestAnimationFrame(look);
        else found(said);
    };
    look();
})"""


@pytest.fixture
def fill(student):
    return first_fill(give(student, 2, tempo=180))


def on_stage(page: Page, student) -> Page:
    """On the first fill of today, playing."""
    page.set_default_timeout(20_000)
    page.add_init_script(SHIFTS)
    open_as(page, student, "/today/")
    expect(page.locator("template[data-stage-drawing][aria-busy]")).to_have_count(0)
    page.locator("[data-stage-open]").click()
    expect(page.locator("[data-stage]")).to_have_attribute("data-state", "playing")
    page.keyboard.press("ArrowDown")
    expect(page.locator("[data-stage]")).to_have_attribute("data-state", "between")
    page.keyboard.press("Space")
    expect(page.locator("[data-stage]")).to_have_attribute("data-state", "paused")
    return page


@pytest.fixture
def crosses(student):
    """Sixteen 16ths on the hi-hat: the widest row of a bar in 4/4, of the narrowest heads."""
    studio = student.studio
    bar = make_bar(studio, " ".join(f"{beat} e & a" for beat in range(1, 5)), "Sixteenths")
    rules = make_rule_set(studio, [{"rule": "placement", "surfaces": ["hi-hat"]}], "Hi-hat")
    return first_fill(give(student, 1, bar=bar, rule_set=rules, tempo=120))


@pytest.mark.parametrize(
    ("size", "rows"), [(PHONE, 2), (ON_ITS_SIDE, 1)], ids=["upright", "on its side"]
)
def test_a_head_is_sixteen_minutes_of_arc_wide_at_a_metre(open_page, student, crosses, size, rows):
    page = on_stage(open_page(size), student)
    found = page.evaluate(MEASURED)
    assert found["head"] * A_PIXEL * A_MILLIMETRE >= 16
    assert 94 <= found["staff"] <= 99
    assert found["rows"] == rows
    assert found["right"] <= size["width"] - (80 if rows == 1 else 0)
    assert_accessible(page)


def test_a_larger_screen_has_a_staff_of_112_px_in_one_row(open_page, student, fill):
    found = on_stage(open_page(DESKTOP), student).evaluate(MEASURED)
    assert (round(found["staff"]), found["rows"]) == (112, 1)


@pytest.mark.parametrize("size", [SMALL, SMALLEST], ids=["360", "320"])
def test_on_small_phones_no_staff_is_under_72_px(open_page, student, fill, size):
    page = on_stage(open_page(size), student)
    found = page.evaluate(MEASURED)
    assert found["staff"] >= 72
    assert found["right"] <= size["width"]
    assert_accessible(page)


@pytest.mark.parametrize("size", [SMALL, SMALLEST], ids=["360", "320"])
def test_on_small_phones_every_button_of_the_dock_is_whole(open_page, student, fill, size):
    page = on_stage(open_page(size), student)
    boxes = [one.bounding_box() for one in page.locator("[data-stage-dock] button").all()]
    assert len(boxes) == 4
    for box in boxes:
        assert box
        assert (box["x"] >= 0, box["x"] + box["width"] <= size["width"]) == (True, True)
        assert min(box["width"], box["height"]) >= 48


def test_nothing_jumps_while_it_plays(phone, student, fill):
    page = on_stage(phone, student)
    page.keyboard.press("Space")
    expect(page.locator("[data-stage-notation] .lit").first).to_be_visible(timeout=30_000)
    assert page.evaluate("window.shifted") < 0.05


def test_the_bar_is_under_the_note_that_sounds(phone, student, fill):
    phone.emulate_media(reduced_motion="reduce")
    page = on_stage(phone, student)
    page.keyboard.press("Space")
    found = page.evaluate(BAR_UNDER_NOTE)
    assert abs(found["aside"]) < 1
    assert found["below"] > 0
    assert found["height"] == 3


def strokes_by_beat(fill) -> set[tuple[int, int]]:
    """Each stroke of the groove as it is engraved, by the beat that it falls in."""
    meter = fill.as_fill.bar.meter.one_bar
    [groove, *_] = groove_written(fill.assignment, meter).bars
    return {(int(note.onset) + 1, note.index) for note in groove.bar.sounded}


def test_where_the_groove_is_played_alone_its_strokes_light_at_their_beats(phone, student, fill):
    phone.emulate_media(reduced_motion="reduce")
    open_as(phone, student, "/today/")
    phone.locator("[data-stage-open]").click()
    expect(phone.locator("[data-stage-name]")).to_have_text("The groove alone")
    found = phone.evaluate(BAR_UNDER_NOTE)
    assert (abs(found["aside"]) < 1, found["below"] > 0, found["height"]) == (True, True, 3)
    lit = {(beat, stroke) for beat, stroke in phone.evaluate(LIT_IN, "[data-stage-notation]")}
    assert lit == strokes_by_beat(fill)


def test_the_groove_above_its_fill_lights_until_the_fill_begins(phone, student, fill):
    page = on_stage(phone, student)
    page.keyboard.press("Space")
    lit = {(beat, stroke) for beat, stroke in page.evaluate(LIT_IN, "[data-stage-groove]")}
    assert lit == strokes_by_beat(fill)
    expect(page.locator("[data-stage-notation] .lit").first).to_be_visible(timeout=30_000)
    assert page.locator("[data-stage-groove] .lit").count() == 0


def test_with_reduced_motion_nothing_glides(open_page, student, fill):
    page = open_page(PHONE)
    page.emulate_media(reduced_motion="reduce")
    on_stage(page, student)
    glide = "getComputedStyle(document.querySelector('[data-stage-mark]')).transitionDuration"
    assert page.evaluate(glide) == "0s"


def test_how_it_looks_is_kept_on_the_device(phone, student, fill):
    page = on_stage(phone, student)
    page.get_by_role("button", name="Dim").click()
    before = page.evaluate(MEASURED)["staff"]
    page.get_by_role("button", name="Smaller").click()
    assert page.evaluate(MEASURED)["staff"] < before
    assert_accessible(page)
    page.reload()
    stage = page.locator("[data-stage]")
    expect(stage).to_have_attribute("data-dim", "")
    expect(stage).to_have_attribute("data-step", "-1")


def test_a_tap_on_the_notation_and_in_the_lower_half_starts_and_stops(phone, student, fill):
    page = on_stage(phone, student)
    stage = page.locator("[data-stage]")
    page.mouse.click(200, 250)
    expect(stage).to_have_attribute("data-state", "playing")
    page.mouse.click(200, 700)
    expect(stage).to_have_attribute("data-state", "paused")
    page.mouse.click(200, 40)
    expect(stage).to_have_attribute("data-state", "paused")


def test_a_swipe_and_a_tap_at_the_edge_change_the_fill(phone, student, fill):
    page = on_stage(phone, student)
    name = page.locator("[data-stage-name]")
    first = name.inner_text()
    page.mouse.move(100, 400)
    page.mouse.down()
    page.mouse.move(260, 405, steps=4)
    page.mouse.up()
    expect(name).to_have_text("The groove alone")
    page.mouse.click(380, 400)
    expect(name).to_have_text(first)


def test_a_drawing_that_is_not_made_yet_comes_by_itself(open_page, student, engraver):
    fill = first_fill(give(student, 1, tempo=180))
    page = open_page(PHONE)
    open_as(page, student, "/today/")
    page.locator("[data-stage-open]").click()
    page.keyboard.press("ArrowDown")
    expect(page.locator("[data-stage-name]")).to_have_text(re.compile(re.escape(str(fill))))
    engraver.work()
    expect(page.locator("[data-stage-notation] svg[data-rows]")).to_be_visible()


@pytest.fixture
def at_once(open_page, student, engraver):
    """The stage of who touches Start before anything is drawn for it, on the groove alone."""
    give(student, 1, tempo=180)
    engraver.catch_up()  # the fill on its page
    page = open_page(PHONE)
    open_as(page, student, "/today/")
    page.locator("[data-stage-open]").click()
    expect(page.locator("[data-stage-name]")).to_have_text("The groove alone")
    return page


def test_the_stage_says_of_a_groove_that_is_not_drawn_yet_that_it_comes(at_once, engraver):
    coming = at_once.locator("[data-stage-coming]")
    expect(coming).to_have_text("Being engraved …")
    expect(coming).to_be_visible()
    expect(at_once.locator("[data-stage-play]")).to_have_attribute("aria-busy", "false")
    assert_accessible(at_once)
    engraver.work()
    expect(at_once.locator("[data-stage-notation] svg[data-rows]")).to_be_visible()
    expect(coming).to_be_hidden()


@pytest.mark.parametrize("status", [429, 503])
def test_a_drawing_is_asked_for_again_of_a_server_that_has_too_much_to_do(
    at_once, engraver, console_errors, status
):
    expect(at_once.locator("[data-stage-coming]")).to_have_text("Being engraved …")
    at_once.route("**/renderings/*.svg", lambda route: route.fulfill(status=status))
    for _ in ("upright", "on its side"):
        at_once.wait_for_event("response", lambda answer: answer.status == status)
    engraver.work()
    at_once.unroute("**/renderings/*.svg")
    expect(at_once.locator("[data-stage-notation] svg[data-rows]")).to_be_visible()
    console_errors[:] = [one for one in console_errors if str(status) not in one]


def test_a_fill_that_is_not_drawn_for_the_stage_yet_is_read_as_its_page_has_it(at_once):
    at_once.keyboard.press("ArrowDown")
    expect(at_once.locator("[data-stage-notation] svg g.stroke").first).to_be_visible()
    expect(at_once.locator("[data-stage-coming]")).to_be_hidden()
    expect(at_once.locator("[data-stage-turn]")).to_be_hidden()  # larger ones come by themselves


@pytest.fixture
def meant_to_be_missing(console_errors) -> Iterator[None]:
    """What is not found does not count, until the page is gone."""
    yield
    console_errors[:] = [one for one in console_errors if "404" not in one]


def test_the_stage_says_of_a_groove_that_cannot_be_drawn_that_it_does_not_come(
    meant_to_be_missing, at_once, engraver, monkeypatch
):
    def refuse(rendering: Rendering) -> bytes:
        raise EngravingError(f"{rendering} cannot be drawn.")

    monkeypatch.setattr(rendering_maker, "draw", refuse)
    expect(at_once.locator("[data-stage-coming]")).to_have_text("Being engraved …")
    engraver.work()
    expect(at_once.locator("[data-stage-coming]")).to_have_text("This could not be engraved.")
