"""The player on a fill's page: real clicks and keys, real sounds, at both sizes."""

import re

import pytest
from playwright.sync_api import Page, expect

from assignments.models import PracticeEntry
from tests.assignments.making import first_fill, give
from tests.browser.fill_steps import at_the_fastest, open_form, open_player
from tests.browser.offline.student_steps import wait_until_sent
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as

pytestmark = pytest.mark.django_db(transaction=True)

#: Fast, for short tests: a bar lasts a second.
FASTEST = 240
#: Count what keeps the screen on, and still ask for it.
COUNT_LOCKS = """
window.locks = [];
const request = navigator.wakeLock.request.bind(navigator.wakeLock);
navigator.wakeLock.request = async (kind) => {
  const lock = await request(kind);
  window.locks.push(lock);
  return lock;
};
"""


@pytest.fixture
def fill(student):
    return first_fill(give(student, 2, tempo=FASTEST))


@pytest.fixture
def open_fill(student, fill):
    def open_fill(page: Page) -> Page:
        open_as(page, student, f"/fills/{fill.pk}/")
        expect(page.locator("g.stroke").first).to_be_visible()
        return at_the_fastest(open_player(page))

    return open_fill


@pytest.fixture
def page(screen, open_fill) -> Page:
    return open_fill(screen)


@pytest.fixture
def one(phone, open_fill) -> Page:
    """On the phone alone: what does not depend on the size."""
    return open_fill(phone)


def play(page: Page):
    return page.get_by_role("button", name="Play on this page")


def is_in(page: Page, state: str) -> None:
    expect(page.locator("[data-player]")).to_have_attribute("data-state", state)


def test_a_fill_is_played_lit_counted_and_logged(page, fill, student):
    assert_accessible(page)
    page.get_by_label("Times through", exact=True).select_option("once")
    play(page).click()
    expect(page.get_by_text("Count-in", exact=True).first).to_be_visible()
    expect(page.locator("[data-player-next]")).to_have_text("fill")
    expect(page.locator("g.stroke.lit")).to_have_count(1)
    expect(page.locator(".player-count.lit")).to_have_count(1)
    is_in(page, "stopped")
    expect(page.locator("g.stroke.lit")).to_have_count(0)
    line = page.locator("[data-player-status]")
    expect(line).to_have_text(re.compile(r"^Saved: \d+ seconds at 240, once through\.$"))
    assert_accessible(page)
    wait_until_sent(page)
    entry = PracticeEntry.objects.get(student=student)
    assert (entry.variation, entry.tempo, entry.loops) == (fill, FASTEST, 1)
    assert entry.minutes <= 1


def test_it_opens_at_the_tempo_named_today_and_the_page_has_one(phone, student, fill):
    open_player(open_as(phone, student, f"/fills/{fill.pk}/"))
    of_page, of_player = phone.locator("[data-tempo-now]"), phone.locator("[data-player-tempo]")
    named = re.search(r"Today (\d+)", phone.locator(".fill-tempos").inner_text())
    assert named
    today = int(named[1])
    assert today < FASTEST
    expect(of_player).to_have_text(str(today))
    phone.get_by_role("button", name="2 faster").click()
    expect(of_player).to_have_text(str(today + 2))
    phone.get_by_role("button", name="1 slower").click()
    expect(of_page).to_have_text(str(today + 1))
    phone.get_by_role("button", name="Play", exact=True).click()
    expect(phone.locator("[data-stage-tempo]").last).to_have_text(str(today + 1))


def test_while_it_plays_the_one_button_at_the_foot_stops_it(one):
    foot = one.locator(".main-bar button:visible")
    expect(foot).to_have_text(["Play"])
    play(one).click()
    is_in(one, "playing")
    expect(foot).to_have_text(["Stop"])
    foot.click()
    is_in(one, "stopped")
    expect(one.get_by_role("button", name="Play", exact=True)).to_be_visible()


def test_space_starts_and_stops_and_arrows_change_the_tempo(one):
    tempo = one.locator("[data-player-tempo]")
    one.keyboard.press("Space")
    is_in(one, "playing")
    one.keyboard.press("ArrowLeft")
    expect(tempo).to_have_text("235")
    one.keyboard.press("ArrowDown")
    expect(tempo).to_have_text("234")
    one.keyboard.press("ArrowUp")
    one.keyboard.press("ArrowRight")
    expect(tempo).to_have_text("240")
    one.keyboard.press("ArrowRight")
    expect(tempo).to_have_text("240")
    one.keyboard.press("Space")
    is_in(one, "stopped")


def test_keys_typed_into_a_field_are_not_the_players(one):
    open_form(one).get_by_label("Minutes", exact=True).press("Space")
    one.get_by_label("Minutes", exact=True).press("ArrowUp")
    expect(one.locator("[data-player-tempo]")).to_have_text("240")
    assert one.locator("[data-player]").get_attribute("data-state") != "playing"


def test_after_a_touch_of_a_control_space_still_stops(one):
    play(one).click()
    is_in(one, "playing")
    one.get_by_role("button", name="5 slower").click()
    expect(one.locator("[data-player-tempo]")).to_have_text("235")
    one.keyboard.press("Space")
    is_in(one, "stopped")


def test_half_the_tempo_is_shown_and_the_ladder_climbs(one):
    one.get_by_role("button", name="Slow half").click()
    expect(one.locator("[data-player-tempo]")).to_have_text("120")
    one.get_by_role("button", name="Slow half").click()
    one.get_by_role("button", name="Fill alone").click()
    for _ in range(10):
        one.get_by_role("button", name="5 slower").click()
    one.get_by_label("Faster by").select_option("10")
    one.get_by_label("every", exact=True).select_option("time")
    expect(one.locator("[data-player-step]")).to_have_text("Then 200, after once through")
    one.get_by_label("Times through", exact=True).select_option("4")
    play(one).click()
    is_in(one, "playing")
    expect(one.locator("[data-player-tempo]")).to_have_text("220")
    is_in(one, "stopped")
    expect(one.locator("[data-player-status]")).to_contain_text("4 times through")


def test_the_fill_alone_has_no_bar_of_groove_and_changes_while_it_plays(one):
    one.get_by_label("Times through", exact=True).select_option("for ever")
    play(one).click()
    expect(one.get_by_text("Bar 1 of 4")).to_be_visible()
    one.get_by_role("button", name="Fill alone").click()
    expect(one.locator("[data-player-loop]")).to_have_text("Time 2")
    expect(one.locator("[data-player-bar]")).to_have_text("The fill")
    play_or_stop = one.locator("[data-player-play]")
    play_or_stop.click()
    is_in(one, "stopped")
    expect(one.locator("[data-player-bar]")).to_have_text("The fill alone.")


def test_a_muted_fill_is_still_lit(one):
    one.get_by_role("button", name="Mute the fill").click()
    one.get_by_role("button", name="Fill alone").click()
    play(one).click()
    expect(one.locator("g.stroke.lit")).to_have_count(1)


def test_the_screen_stays_awake_only_while_it_plays(phone, open_fill):
    phone.context.grant_permissions(["screen-wake-lock"])
    phone.add_init_script(COUNT_LOCKS)
    open_fill(phone)
    play(phone).click()
    phone.wait_for_function("() => locks.length === 1 && !locks[0].released")
    phone.keyboard.press("Space")
    phone.wait_for_function("() => locks[0].released")


def test_it_stops_when_the_page_is_left_and_says_so_on_coming_back(one):
    play(one).click()
    is_in(one, "playing")
    one.evaluate("() => dispatchEvent(new PageTransitionEvent('pagehide'))")
    is_in(one, "stopped")
    play(one).click()
    is_in(one, "playing")
    one.get_by_role("link", name="Next fill").click()
    open_player(one)
    expect(one.locator("[data-player-verb]")).to_have_text("Play on this page")


def test_sounds_that_do_not_come_give_an_error_and_can_be_tried_again(one, console_errors):
    one.route("**/sounds/", lambda route: route.abort())
    play(one).click()
    expect(one.get_by_text("The sounds did not come. Check the network")).to_be_visible()
    is_in(one, "stopped")
    one.unroute("**/sounds/")
    console_errors.clear()
    play(one).click()
    is_in(one, "playing")
    expect(one.get_by_text("The sounds did not come")).to_have_count(0)


#: What has the focus, where it lies wholly under the bar at the foot; "" at the end of the page.
UNDER_THE_BAR = """() => {
    const one = document.activeElement;
    if (one === document.body || window.seen?.has(one)) return "";
    (window.seen ??= new Set()).add(one);
    const bar = document.querySelector(".main-bar").getBoundingClientRect();
    const { top, bottom } = one.getBoundingClientRect();
    const isUnder = top >= bar.top && bottom <= bar.bottom && !one.closest(".main-bar");
    return isUnder ? `under: ${one.outerHTML.slice(0, 90)}` : "free";
}"""


def test_what_gets_the_focus_is_not_under_the_bar(one):
    found = []
    while not found or found[-1]:
        one.keyboard.press("Tab")
        found.append(one.evaluate(UNDER_THE_BAR))
    assert len(found) > 20
    assert [place for place in found if place.startswith("under")] == []


def test_every_control_of_the_player_is_as_large_as_a_thumb(one):
    controls = one.locator("[data-player] :is(button, select)")
    sizes = controls.evaluate_all(
        "all => all.map((one) => one.getBoundingClientRect()).filter((box) => box.height)"
        ".map((box) => Math.min(box.width, box.height))"
    )
    assert min(sizes) >= 48
    box = one.locator("[data-player-play]").bounding_box()
    assert (box["width"] >= 88, box["height"]) == (True, 88)
