"""Practice where there is no network: the pages, and what is logged on them."""

import re

import pytest
from playwright.sync_api import expect

from assignments.models import PracticeEntry
from tests.browser.offline.student_steps import (
    log,
    set_network,
    state,
    wait_for_copies,
    wait_until,
    wait_until_sent,
)
from tests.browser.page_checks import assert_accessible

pytestmark = pytest.mark.django_db(transaction=True)


def test_what_is_logged_without_a_network_arrives_when_there_is_one(off, student, fill):
    log(off, "7")
    expect(off.locator("#messages")).to_contain_text("Kept on this device: 7 min at 88.")
    expect(state(off)).to_contain_text("1 entry waits for the network.")
    assert not PracticeEntry.objects.exists()
    set_network(off, True)
    wait_until_sent(off)
    entry = PracticeEntry.objects.get()
    assert (entry.student, entry.variation, entry.minutes, entry.tempo) == (student, fill, 7, 88)


def test_entries_that_wait_outlive_the_page(off, fill_page):
    log(off, "7")
    expect(state(off)).to_contain_text("1 entry waits")
    off.reload()
    expect(state(off)).to_contain_text("1 entry waits for the network.")
    log(off, "8")
    expect(state(off)).to_contain_text("2 entries wait for the network.")


def test_each_look_at_the_same_copy_logs_an_entry_of_its_own(off, fill_page):
    for amount in ("7", "8"):
        off.goto(fill_page)
        log(off, amount)
        expect(off.locator("#messages")).to_contain_text(f"device: {amount} min")
    set_network(off, True)
    wait_until_sent(off)
    assert sorted(entry.minutes for entry in PracticeEntry.objects.all()) == [7, 8]


@pytest.mark.parametrize("path", ["/today/", "/fills/", "/log/", "/my-progress/"])
def test_the_pages_are_there_without_a_network(off, path):
    off.goto(path)
    expect(off.locator("main h1")).to_be_visible()
    expect(state(off)).to_contain_text("No network.")
    assert_accessible(off)


def test_the_notation_is_there_without_a_network(off, fill_page):
    off.goto(fill_page)
    expect(off.locator("main .notation svg").first).to_be_visible()


def test_the_whole_block_is_there_without_a_network(device, fill_page, meant_to_fail):
    wait_for_copies(device, f"{fill_page}block/")
    set_network(device, False)
    device.get_by_role("link", name="The whole block, bar by bar").click()
    expect(device.get_by_role("heading", name="The block, bar by bar")).to_be_visible()
    expect(state(device)).to_contain_text("No network.")
    bars = device.locator("[data-block-bar]")
    expect(bars.locator(".notation svg")).to_have_count(bars.count())
    device.get_by_role("button", name="Hear the block").click()
    expect(bars.and_(device.locator("[aria-current]"))).to_have_count(1)
    assert_accessible(device)


def test_notation_that_was_not_made_yet_is_copied_in_the_next_round(
    engraver, device, fill, meant_to_fail
):
    other = fill.assignment.variations.exclude(pk=fill.pk).first()
    page = f"/fills/{other.pk}/"
    engraver.work()
    log(device, "5")
    expect(device.locator("#messages")).to_contain_text("5 min")
    wait_until(
        device,
        f"async () => (await (await caches.match('{page}', {{ ignoreVary: true }})).text())"
        ".includes('</svg>')",
    )
    # Its own page asks for its drawing until it is there, and may not be asking without a network.
    expect(device.locator("main .notation svg").first).to_be_visible()
    set_network(device, False)
    device.goto(page)
    expect(device.locator("main .notation svg").first).to_be_visible()


def test_what_a_page_of_a_fill_lacks_is_engraved_before_it_is_copied(device, fill_page):
    copied = f"async () => (await caches.match('{fill_page}', {{ ignoreVary: true }})).text()"
    text = device.evaluate(copied)
    assert 'aria-busy="true"' not in text
    assert 'data-rows="' in text


# Has the copy of a page say that it was made so many hours ago; gives when that was.
AGE = """async ([path, hours]) => {
    const name = (await caches.keys()).find((one) => one.startsWith("fillwright-pages-"));
    const cache = await caches.open(name);
    const copy = await cache.match(path, { ignoreVary: true });
    const headers = new Headers(copy.headers);
    headers.set("X-Copied", String(Date.now() - hours * 3_600_000));
    await cache.put(path, new Response(await copy.text(), { headers }));
    return headers.get("X-Copied");
}"""
COPIED = """async (path) => {
    const copy = await caches.match(path, { ignoreVary: true });
    return copy.headers.get("X-Copied");
}"""


def test_of_fills_that_did_not_change_only_old_copies_are_made_anew(device, fill):
    younger, older = (
        f"/fills/{other.pk}/" for other in fill.assignment.variations.exclude(pk=fill.pk)
    )
    copied = device.evaluate(AGE, [younger, 11])
    was = device.evaluate(AGE, [older, 13])
    log(device, "5")
    wait_until(device, f"async () => await ({COPIED})('{older}') !== '{was}'")
    assert device.evaluate(COPIED, younger) == copied


@pytest.mark.parametrize("path", ["/", "/home/", "/enter/an-old-link/"])
def test_the_ways_in_lead_to_today_without_a_network(off, path):
    off.goto(path)
    expect(off.get_by_role("heading", name="Today")).to_be_visible()


def test_a_page_that_is_not_kept_says_so(off):
    off.goto("/log/00000000-0000-0000-0000-000000000000/remove/")
    expect(off.get_by_role("heading", name="No network")).to_be_visible()
    header = off.locator(".site-header")
    expect(header).to_contain_text("Mira")
    expect(header.get_by_role("link", name="My fills")).to_be_visible()
    expect(off.get_by_role("link", name="Open Today")).to_be_visible()
    expect(off.get_by_role("link", name="Sign in")).to_have_count(0)
    assert_accessible(off)
    expect(off.locator("[data-not-sent]")).to_be_hidden()


def test_a_page_that_is_not_kept_knows_who_is_signed_in(off):
    log(off, "7")
    expect(state(off)).to_contain_text("1 entry waits")
    off.goto("/log/00000000-0000-0000-0000-000000000000/remove/")
    expect(state(off)).to_contain_text("1 entry waits for the network.")
    expect(off.get_by_role("button", name="Sign out")).to_be_visible()
    expect(off.get_by_role("link", name="Sign in")).to_have_count(0)


def test_a_press_that_was_not_sent_says_so(off):
    off.get_by_role("button", name="Sign out").first.click()
    expect(off.locator("[data-not-sent]")).to_be_visible()


def test_a_fill_is_marked_as_mastered_without_a_network(off, fill):
    off.get_by_role("button", name="Mastered").click()
    expect(off.locator("#messages")).to_contain_text(", mastered. It is sent by itself")
    fill.refresh_from_db()
    assert fill.mastered_at is None
    with off.expect_response(lambda response: response.url.endswith("/mastered/")) as answer:
        set_network(off, True)
    assert answer.value.ok
    fill.refresh_from_db()
    assert fill.mastered_at is not None


def test_a_mistake_has_an_error_without_a_network(off):
    log(off, "9999")
    expect(off.locator("#id_minutes_error")).to_contain_text("from 0.1 to 180")
    expect(off.get_by_label("Minutes", exact=True)).to_have_value("9999")
    expect(state(off)).not_to_contain_text("wait")


def test_what_waits_is_listed_in_the_log_and_can_be_taken_off(off):
    log(off, "7")
    expect(state(off)).to_contain_text("1 entry waits")
    off.goto("/log/")
    expect(off.locator("[data-rows] li")).to_contain_text("7 min at 88")
    assert_accessible(off)
    off.locator("[data-rows] li").get_by_role("button", name="Remove").click()
    expect(off.locator("[data-rows] li")).to_have_count(0)
    expect(state(off)).not_to_contain_text("wait")


def test_what_is_sent_while_the_log_is_open_moves_into_it(off):
    log(off, "7")
    expect(state(off)).to_contain_text("1 entry waits")
    off.goto("/log/")
    expect(off.locator("[data-rows] li")).to_contain_text("7 min at 88")
    set_network(off, True)
    expect(off.locator("[data-rows] li")).to_have_count(0)
    expect(off.locator("ul.log li")).to_contain_text("7 min at 88")


def test_undo_takes_it_off_the_device_again(off):
    log(off, "7")
    off.get_by_role("button", name="Undo").click()
    expect(off.locator("#messages")).to_contain_text("Taken off this device.")
    expect(state(off)).not_to_contain_text("wait")


def test_every_sound_is_there_without_a_network(device, meant_to_fail):
    urls = [
        url
        for dynamics in device.request.get("/sounds/").json()["sounds"].values()
        for sound in dynamics.values()
        for url in [sound["url"], *sound["others"]]
    ]
    assert urls
    wait_until(
        device,
        f"async () => {{ const kept = await (await caches.open('fillwright-sounds')).keys();"
        f" return {urls}.every((url) => kept.some((one) => one.url.endsWith(url))); }}",
    )
    set_network(device, False)
    sizes = device.evaluate(
        """(urls) => Promise.all(urls.map(async (url) => {
            const sound = await (await fetch(url)).arrayBuffer();
            const heard = await new OfflineAudioContext(1, 1, 44100).decodeAudioData(sound);
            return heard.duration;
        }))""",
        urls,
    )
    assert min(sizes) > 0.01


def test_the_stage_plays_and_keeps_what_sounds_without_a_network(off, student):
    off.goto("/today/?minutes=1")
    off.locator("[data-stage-open]").click()
    stage = off.locator("[data-stage]")
    expect(stage).to_have_attribute("data-state", "playing")
    expect(off.locator("[data-stage-bar]")).not_to_have_text(re.compile("in|–"), timeout=30_000)
    off.keyboard.press("ArrowDown")
    expect(off.locator("[data-stage-notation] svg[data-rows]")).to_be_visible()
    off.keyboard.press("Escape")
    expect(off.locator("[data-stage-total]")).to_contain_text("aved")
    assert_accessible(off)
