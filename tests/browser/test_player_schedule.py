"""What the player plays when, as its scheduling core gives it."""

from pathlib import Path

import pytest
from django.templatetags.static import static
from playwright.sync_api import Page

from rhythms.engine import Bar, Meter
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.groove import groove_named
from rhythms.engine.playback.timeline import Block
from rhythms.notation.player import block_json

pytestmark = pytest.mark.django_db(transaction=True)

SCRIPT = (Path(__file__).parent / "scripts" / "in_schedule_page.js").read_text()
#: At 60 a second is a quarter, and a bar of 4/4 four seconds.
ONE_A_SECOND = 60


@pytest.fixture
def page(desktop: Page) -> Page:
    desktop.goto("/")
    return desktop


def a_block(counts: str = "1 & 2 & 3 & 4 &", bars: int = 4) -> dict:
    fill = snare_fill(Bar.from_counts(counts))
    return block_json(Block(fill, groove_named("rock", Meter(4, 4)), bars))


def events(page: Page, *, block=None, until=64, step=0.25, start=None, change=None, **settings):
    given = {
        "modules": {"schedule": static("js/player/schedule.js")},
        "block": block or a_block(),
        "settings": {"tempo": ONE_A_SECOND, "loops": 1, **settings},
        "start": start or {},
        "step": step,
        "until": until,
        "change": change,
    }
    return page.evaluate(SCRIPT, given)


def times(found: list[dict], kind: str, **wanted) -> list[float]:
    return [
        event["time"]
        for event in found
        if event["type"] == kind and all(event[name] == value for name, value in wanted.items())
    ]


def bars(found: list[dict]) -> list[str]:
    return [event["kind"] for event in found if event["type"] == "bar"]


def test_a_count_in_leads_to_the_groove_and_the_fill_and_the_end(page):
    found = events(page)
    assert bars(found) == ["count-in", "groove", "groove", "groove", "fill"]
    assert times(found, "loop") == [20]
    assert times(found, "ended") == [21]
    assert found[-1]["type"] == "ended"


def test_each_bar_says_what_comes_next(page):
    following = [event["next"] for event in events(page) if event["type"] == "bar"]
    assert following == ["groove", "groove", "groove", "fill", "end"]


@pytest.mark.parametrize("bars_in_block", [4, 8, 12, 16])
def test_a_block_is_groove_but_for_its_last_bar(page, bars_in_block):
    found = events(page, block=a_block(bars=bars_in_block), until=80)
    assert bars(found)[1:] == ["groove"] * (bars_in_block - 1) + ["fill"]


def test_windows_that_touch_give_every_event_once(page):
    assert events(page, step=0.25) == events(page, step=64)


def test_the_crash_comes_on_one_after_the_fill_and_takes_the_place_of_the_grooves_one(page):
    found = events(page, loops=2)
    assert times(found, "sound", surface="crash") == [20, 36]
    at_landing = [e["surface"] for e in found if e["type"] == "sound" and e["time"] == 20]
    assert at_landing == ["crash", "bass drum"]


def test_loops_are_counted_as_they_are_through(page):
    found = events(page, loops=3)
    looped = [event for event in found if event["type"] == "loop"]
    assert [(event["time"], event["loops"]) for event in looped] == [(20, 1), (36, 2), (52, 3)]


def test_for_ever_does_not_end(page):
    found = events(page, loops=0, until=1000, step=10)
    assert len(times(found, "loop")) == 62
    assert times(found, "ended") == []


@pytest.mark.parametrize(
    ("click", "clicks"),
    [("beats", 20), ("one", 4 + 4), ("off", 4)],
)
def test_the_click_is_on_every_beat_on_one_or_only_in_the_count_in(page, click, clicks):
    assert len(times(events(page, click=click), "click")) == clicks


def test_the_first_click_of_a_bar_is_another_than_the_rest_and_the_sticks_count_in(page):
    found = events(page)
    assert times(found, "click", name="count-in") == [0, 1, 2, 3]
    assert times(found, "click", name="click one") == [4, 8, 12, 16]


def test_a_muted_fill_is_lit_but_not_heard(page):
    found = events(page, muteFill=True)
    assert len(times(found, "note")) == 8
    assert not [e for e in found if e["type"] == "sound" and e["note"] is not None]
    assert len(times(found, "sound", surface="crash")) == 1


def test_the_fill_alone_has_no_groove(page):
    found = events(page, fillAlone=True, loops=2)
    assert bars(found) == ["count-in", "fill", "fill"]
    assert times(found, "loop") == [8, 12]
    assert times(found, "sound", surface="hi-hat") == []


def test_half_the_tempo_is_twice_as_long(page):
    assert times(events(page, slow=True), "loop") == [40]


def test_the_ladder_climbs_every_so_many_loops(page):
    found = events(page, loops=0, ladderBy=60, ladderEvery=2, until=80)
    looped = [(event["time"], event["tempo"]) for event in found if event["type"] == "loop"]
    assert looped == [
        (20, 60),
        (36, 60),
        (44, 120),
        (52, 120),
        (pytest.approx(52 + 16 / 3), 180),
        (pytest.approx(52 + 32 / 3), 180),
        *((pytest.approx(52 + 32 / 3 + 4 * k), 240) for k in range(1, 5)),
    ]


def test_the_ladder_ends_at_the_fastest_tempo(page):
    found = events(page, loops=0, tempo=200, ladderBy=50, ladderEvery=1, until=60)
    assert {event["tempo"] for event in found if event["type"] == "loop"} == {200, 240}


def test_a_new_tempo_is_taken_up_where_the_music_is(page):
    found = events(page, change={"time": 10, "settings": {"tempo": 120}})
    assert times(found, "bar") == [0, 4, 8, 11, 13]
    assert times(found, "loop") == [15]


def test_another_groove_is_taken_up_within_the_bar(page):
    found = events(page, change={"time": 6, "settings": {"groove": "jazz ride"}})
    assert max(times(found, "sound", surface="hi-hat")) < 6
    assert min(times(found, "sound", surface="ride")) >= 6


def test_fewer_loops_than_are_played_already_end_with_this_one(page):
    found = events(page, loops=0, change={"time": 30, "settings": {"loops": 1}})
    assert times(found, "ended") == [37]


def test_a_change_after_the_last_fill_begins_nothing_anew(page):
    found = events(page, change={"time": 20.5, "settings": {"loops": 4}})
    assert times(found, "ended") == [21]
    assert max(times(found, "bar")) == 16


def test_a_resumed_loop_is_counted_in_and_numbered_on(page):
    found = events(page, loops=3, start={"done": 2})
    assert bars(found) == ["count-in", "groove", "groove", "groove", "fill"]
    assert [event["loops"] for event in found if event["type"] == "loop"] == [3]


def test_every_stroke_of_the_fill_is_lit_once_with_its_sound(page):
    found = events(page)
    lit = {event["note"]: event["time"] for event in found if event["type"] == "note"}
    heard = {e["note"]: e["time"] for e in found if e["type"] == "sound" and e["note"] is not None}
    assert lit == heard
    assert sorted(lit) == list(range(8))
