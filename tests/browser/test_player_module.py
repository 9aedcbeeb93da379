"""The player as a page of ours uses it: started, paused, stopped, counted."""

from pathlib import Path

import pytest
from django.templatetags.static import static
from django.urls import reverse

from rhythms.engine import Bar, Meter
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.groove_library import groove_named
from rhythms.engine.playback.timeline import Block
from rhythms.notation.player import block_json
from tests.browser.page_checks import DESKTOP

pytestmark = pytest.mark.django_db(transaction=True)

SCRIPT = (Path(__file__).parent / "scripts" / "in_player_page.js").read_text()


def block() -> dict:
    fill = snare_fill(Bar.from_counts("1 2 3 4"))
    return block_json(Block(fill, groove_named("rock", Meter(4, 4))))


@pytest.fixture(scope="module")
def kept() -> dict:
    """What the first of the tests has played, for all of them."""
    return {}


@pytest.fixture
def run(kept: dict, open_page) -> dict:
    """Two loops of a second each, with a pause between, then both again to the end."""
    if not kept:
        desktop = open_page(DESKTOP)
        desktop.goto("/")
        desktop.mouse.click(1, 1)
        given = {
            "module": static("js/player/player.js"),
            "sounds": reverse("rhythms:sounds"),
            "block": block(),
            "settings": {"tempo": 240, "loops": 2, "fillAlone": True},
        }
        kept.update(desktop.evaluate(SCRIPT, given))
    return kept


def test_a_paused_player_counts_in_again_and_goes_on_counting_loops(run):
    bars = [(said["kind"], said["loop"]) for said in run["said"] if said["type"] == "bar"]
    assert bars[:2] == [("count-in", 0), ("fill", 0)]
    again = bars.index(("count-in", 1))
    assert bars[again + 1] == ("fill", 1)
    assert [said["loops"] for said in run["said"] if said["type"] == "loop"] == [1, 2, 1, 2]


def test_loops_and_seconds_are_counted_while_it_plays_and_not_in_a_pause(run):
    assert (run["paused"]["state"], run["paused"]["loops"]) == ("paused", 1)
    assert run["still"]["seconds"] == run["paused"]["seconds"] >= 2
    assert (run["stopped"]["state"], run["stopped"]["loops"]) == ("stopped", 2)
    assert run["stopped"]["seconds"] >= run["paused"]["seconds"] + 2


def test_a_new_count_begins_where_it_is_asked_for(run):
    assert (run["ended"]["state"], run["ended"]["loops"], run["ended"]["tempo"]) == (
        "stopped",
        2,
        240,
    )
    assert run["ended"]["seconds"] >= 3
    assert run["said"][-1]["type"] == "ended"
