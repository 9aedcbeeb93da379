"""The player's timing, measured in what comes out, against the exact grid.

The grid is worked out here from the engine's timeline in exact fractions; the scheduler's own
requests are never asked. Two controls show that the measure can fail: a lookahead shorter
than the page's ticks, and a tempo that is 0.01 % off.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from django.templatetags.static import static
from playwright.sync_api import Browser, Page

from rhythms.engine.bars.feel import SIXTEENTHS, Feel
from rhythms.engine.playback.timeline import Block
from rhythms.notation.player import block_json
from tests.js.expectations import dressed_block as a_block
from tests.js.expectations import grid

pytestmark = pytest.mark.django_db(transaction=True)

RATE = 44_100
SCRIPTS = Path(__file__).parent / "scripts"
MODULES = ("schedule", "pump", "audio", "sound_kit")
#: One sample, and the rounding of a time to one.
ONE_SAMPLE = 1.001


@pytest.fixture
def page(desktop: Page) -> Page:
    desktop.goto("/")
    return desktop


@pytest.fixture
def unguarded(browser: Browser, live_server) -> Iterator[Page]:
    """A page that may load the recorder, which is no file of the site."""
    with browser.new_context(bypass_csp=True, base_url=live_server.url) as context:
        page = context.new_page()
        page.goto("/")
        yield page


def run(page: Page, script: str, **given) -> dict:
    """What the script's function gives, called with the player's modules and `given`."""
    modules = {name: static(f"js/player/{name}.js") for name in MODULES}
    return page.evaluate((SCRIPTS / script).read_text(), {"modules": modules, **given})


def worst(found: list[int], ideal: Iterable[float]) -> float:
    """The greatest distance of an ideal onset, in samples, from the sound next to it."""
    heard = sorted(found)
    return max(min(abs(sample - wanted) for sample in heard) for wanted in ideal)


def at_tempo(onsets: Iterable[Fraction], tempo: int | Fraction) -> list[float]:
    """Quarters as samples, the first at 0."""
    return [float(onset * 60 * RATE / Fraction(tempo)) for onset in onsets]


def offline(page: Page, block: Block, loops: int, *, tempo=137, **changes) -> list[int]:
    """The samples at which something starts to sound."""
    seconds = (loops * float(block.length) + 2 * float(block.meter.length)) * 60 / tempo
    settings = {"tempo": tempo, "loops": loops, "click": "beats"} | changes.pop("settings", {})
    given = {"rate": RATE, "seconds": seconds, "lookahead": 0.25, "tick": 0.1, **changes}
    return run(page, "in_offline_page.js", block=block_json(block), settings=settings, **given)[
        "onsets"
    ]


def test_ten_minutes_are_on_the_grid_to_one_sample(page):
    block = a_block()
    loops = 86
    ideal = at_tempo(grid(block, loops), 137)
    assert ideal[-1] > 10 * 60 * RATE
    found = offline(page, block, loops)
    assert len(found) == len(ideal)
    assert worst(found, ideal) <= ONE_SAMPLE
    assert max(abs(a - b) for a, b in zip(found, ideal, strict=True)) <= ONE_SAMPLE


@pytest.mark.parametrize(
    ("counts", "meter", "tempo"),
    [
        ("1 & 2 3 & 4 & 5 6", "6/8", 240),
        ("1 & 2 e & a 3", "3/4", 30),
        ("1 2 3 & 4 5 6 & 7", "7/8", 91),
    ],
)
def test_other_meters_and_the_ends_of_the_tempo_are_on_the_grid(page, counts, meter, tempo):
    block = a_block(counts, meter)
    ideal = at_tempo(grid(block, 2), tempo)
    found = offline(page, block, 2, tempo=tempo)
    assert len(found) == len(ideal)
    assert worst(found, ideal) <= ONE_SAMPLE


@pytest.mark.parametrize(
    ("counts", "meter", "feel"),
    [
        ("1 e & a 2 trip let 3 & 4 e & a", "4/4", Feel(67)),
        ("1 e & a 2 & 3 e & a 4 &", "4/4", Feel(80)),
        ("1 e & a 2 trip let 3 & 4 e & a", "4/4", Feel(58, SIXTEENTHS)),
        ("1 & 2 3 & 4 & 5 6", "6/8", Feel(67, SIXTEENTHS)),
    ],
)
def test_swung_notes_sound_where_the_feel_has_them(page, counts, meter, feel):
    block = replace(a_block(counts, meter), feel=feel)
    ideal = at_tempo(grid(block, 2), 100)
    found = offline(page, block, 2, tempo=100)
    assert len(found) == len(ideal)
    assert worst(found, ideal) <= ONE_SAMPLE


def test_control_even_notes_are_not_where_a_swing_has_them(page):
    block = a_block("1 & 2 & 3 & 4 &")
    found = offline(page, block, 1, tempo=100)
    assert worst(found, at_tempo(grid(replace(block, feel=Feel(52)), 1), 100)) > 100


def test_a_ladder_is_on_its_grid_through_every_change(page):
    """Two loops at 60, two at 70, two at 80: the ideal time is summed loop by loop here."""
    block, loops = a_block(bars=4), 6
    onsets = grid(block, loops)
    bar, length = block.meter.length, block.length

    def seconds(onset: Fraction) -> Fraction:
        at, passed = bar, min(onset, bar) * Fraction(60, 60)
        for loop in range(loops + 1):
            inside = max(Fraction(0), min(onset - at, length))
            passed += inside * Fraction(60, 60 + 10 * (loop // 2))
            at += length
        return passed

    ideal = [float(seconds(onset) * RATE) for onset in onsets]
    found = offline(page, block, loops, tempo=60, settings={"ladderBy": 10, "ladderEvery": 2})
    assert worst(found, ideal) <= ONE_SAMPLE


def test_half_the_tempo_takes_twice_the_time(page):
    block = a_block()
    found = offline(page, block, 2, tempo=60, settings={"tempo": 120, "slow": True})
    assert worst(found, at_tempo(grid(block, 2), 60)) <= ONE_SAMPLE


def test_a_hidden_page_that_wakes_once_a_second_stays_on_the_grid(page):
    block, loops = a_block(), 6
    found = offline(page, block, loops, lookahead=2.5, tick=1)
    ideal = at_tempo(grid(block, loops), 137)
    assert len(found) == len(ideal)
    assert worst(found, ideal) <= ONE_SAMPLE


def test_control_a_lookahead_shorter_than_a_tick_is_caught(page):
    block = a_block()
    found = offline(page, block, 4, lookahead=0.01, tick=0.025)
    assert worst(found, at_tempo(grid(block, 4), 137)) > 100


def test_control_a_drift_of_a_ten_thousandth_is_caught(page):
    block, loops = a_block(), 6
    found = offline(page, block, loops, settings={"tempo": 137 * 1.0001})
    assert worst(found, at_tempo(grid(block, loops), 137)) > 100


def live(page: Page, lookahead: float) -> dict:
    """Real time, with the page busy for 150 ms again and again: what the sound card was given."""
    page.mouse.click(1, 1)
    block = a_block("1 e & a 2 e & a 3 e & a 4 e & a")
    return run(
        page,
        "in_live_page.js",
        recorder=(SCRIPTS / "in_recorder_page.js").read_text(),
        block=block_json(block),
        settings={"tempo": 120, "loops": 1, "click": "beats"},
        lookahead=lookahead,
        seconds=11,
        stall=150,
    )


def test_no_stroke_is_late_or_missing_while_the_page_stalls(unguarded):
    heard = live(unguarded, 0.25)
    block = a_block("1 e & a 2 e & a 3 e & a 4 e & a")
    at = [float(onset * 60 / 120) * heard["rate"] for onset in grid(block, 1)]
    ideal = [heard["start"] * heard["rate"] + sample for sample in at]
    assert heard["left"] == 0
    assert len(heard["onsets"]) == len(ideal)
    assert worst(heard["onsets"], ideal) <= ONE_SAMPLE


def test_control_a_shorter_lookahead_does_not_outlast_the_stalls(unguarded):
    heard = live(unguarded, 0.05)
    block = a_block("1 e & a 2 e & a 3 e & a 4 e & a")
    at = [float(onset * 60 / 120) * heard["rate"] for onset in grid(block, 1)]
    ideal = [heard["start"] * heard["rate"] + sample for sample in at]
    assert worst(heard["onsets"], ideal) > 100
