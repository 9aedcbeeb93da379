"""The grid of the bar editor and the bar that it stands for."""

import pytest
from hypothesis import given

from rhythms.bars.bar_grid import (
    GridError,
    bar_of,
    blank,
    divisions,
    grid_of,
    pickups,
    read_grid,
)
from rhythms.engine import Bar, Meter
from rhythms.engine.bars.beat_divisions import divisions_of
from tests.strategies import METERS, bars, bars_with_pickup

FOUR = Meter.parse("4/4")


def kinds(grid) -> list[list[str]]:
    return [[cell.kind for cell in beat.cells] for beat in grid]


def sent_back(grid) -> tuple[list[str], dict[str, list[str]], list[str]]:
    """What a form with this grid sends."""
    drawn = [beat.division for beat in grid]
    return drawn, {beat.beat.name: [cell.kind for cell in beat.cells] for beat in grid}, drawn


@given(bars() | bars_with_pickup())
def test_a_bar_comes_back_from_its_grid(bar):
    assert bar_of(grid_of(bar), bar.meter) == bar


@given(bars() | bars_with_pickup())
def test_a_grid_comes_back_from_its_form(bar):
    grid = grid_of(bar)
    assert read_grid(bar.meter, *sent_back(grid)) == grid
    assert all(beat.division in beat.divisions for beat in grid)


def test_two_bars_come_back_from_their_grid_and_its_form():
    bar = Bar.from_counts("1 & 2 3 4 | - & 2 3 trip let 4")
    grid = grid_of(bar)
    assert bar_of(read_grid(bar.meter, *sent_back(grid)), bar.meter) == bar
    assert [beat.title for beat in grid][3:6] == ["Beat 4", "Bar 2, beat 1", "Bar 2, beat 2"]


@pytest.mark.parametrize("meter", METERS)
def test_no_two_divisions_of_a_beat_have_one_name_or_the_same_places(meter):
    meter = Meter.parse(meter)
    for beat in meter.beats:
        ways = divisions_of(beat, in_eighths=meter.in_eighths)
        assert len({one.name for one in ways}) == len(ways)
        assert len({tuple(c.offset for c in one.counts) for one in ways}) == len(ways)
    assert divisions(meter)[-1] == "32nds"


def test_a_pickup_is_called_so_and_has_only_its_own_places():
    grid = grid_of(Bar.from_counts("5 & 6 | 1 2 3 4 5 6", "6/8"))
    assert [beat.title for beat in grid] == [
        "Pick-up, counts 5 to 6",
        "Counts 1 to 3",
        "Counts 4 to 6",
    ]
    assert [cell.label for cell in grid[0].cells] == ["5", "&", "6", "&"]
    assert [beat.opens for beat in grid] == [True, False, False]


@pytest.mark.parametrize(
    ("meter", "words"),
    [
        (Meter(4, 4), ["none", "from 4", "from 3", "from 2"]),
        (Meter(6, 8).after_pickup(2), ["none", "from 6", "from 5", "from 4", "from 3", "from 2"]),
        (Meter(2, 4, 3), ["none", "from 2"]),
        (Meter(2, 4, 3).after_pickup(1), ["none", "from 2"]),
        (Meter(4, 4, 4), []),
        (Meter(1, 4), []),
    ],
)
def test_the_pickups_to_choose_from_are_those_that_the_bars_have_room_for(meter, words):
    choices = pickups(meter)
    assert [each.words for each in choices] == words
    assert [each.counts for each in choices if each.chosen] == [meter.pickup] * bool(words)


def test_of_divisions_with_as_many_places_the_one_drawn_is_known():
    line = "1 ka di mi ti 2 trip let & a 3 4"
    grid = grid_of(Bar.from_counts(line))
    assert [len(beat.cells) for beat in grid] == [5, 5, 1, 1]
    chosen, cells, drawn = sent_back(grid)
    assert bar_of(read_grid(FOUR, chosen, cells, drawn), FOUR).counts() == line
    halved = read_grid(FOUR, ["triplets + 16ths", *chosen[1:]], cells, drawn)
    assert kinds(halved)[0] == ["sound"] * 5
    assert halved[0].division == "triplets + 16ths"


def test_a_beat_stands_on_the_coarsest_division_that_holds_it():
    grid = grid_of(Bar.from_counts("1 2 & 3 e 4 trip let"))
    assert [beat.division for beat in grid] == ["quarter", "eighths", "16ths", "triplets"]


def test_sounds_accents_rests_and_held_places_are_told_apart():
    grid = grid_of(Bar.from_counts("1 &> (2) & 3 4"))
    assert kinds(grid) == [["sound", "accent"], ["rest", "sound"], ["sound"], ["sound"]]


def test_a_held_place_is_told_apart():
    assert kinds(grid_of(Bar.from_counts("1 a 2 3 4")))[0] == ["sound", "hold", "hold", "sound"]


def test_a_blank_grid_is_a_bar_of_silence():
    bar = bar_of(blank(FOUR), FOUR)
    assert bar.sounded == ()


class TestChangingADivision:
    def changed(self, before: list[str], to: str) -> list[str]:
        cells = {"1": before, "2": ["sound"], "3": ["sound"], "4": ["sound"]}
        return kinds(read_grid(FOUR, [to, "quarter", "quarter", "quarter"], cells))[0]

    def test_new_places_sound(self):
        assert self.changed(["sound"], "16ths") == ["sound"] * 4

    def test_places_of_both_keep_their_kind(self):
        assert self.changed(["accent", "rest"], "16ths") == ["accent", "sound", "rest", "sound"]

    def test_a_coarser_one_drops_what_has_no_place(self):
        assert self.changed(["sound", "rest", "accent", "hold"], "eighths") == ["sound", "accent"]

    def test_a_silent_beat_sounds_in_all_its_places(self):
        assert self.changed(["rest"], "triplets") == ["sound"] * 3

    def test_the_same_division_changes_nothing(self):
        assert self.changed(["hold", "rest"], "eighths") == ["hold", "rest"]


QUARTERS = ["quarter"] * 4
SOUNDS = {name: ["sound"] for name in "1234"}


@pytest.mark.parametrize(
    ("chosen", "cells", "message"),
    [
        (["quarter"] * 3, SOUNDS, "has 4 beats, not 3"),
        (["halves", *QUARTERS[1:]], SOUNDS, "“halves” does not divide a beat"),
        (QUARTERS, {**SOUNDS, "2": ["loud"]}, "“loud” is nothing a place can do"),
        (QUARTERS, {**SOUNDS, "2": ["sound"] * 9}, "Beat 2 cannot have 9 places"),
        (QUARTERS, {"1": ["sound"]}, "Beat 2 cannot have 0 places"),
    ],
)
def test_a_grid_that_is_no_bar_says_why(chosen, cells, message):
    with pytest.raises(GridError, match=message):
        read_grid(FOUR, chosen, cells)


def test_nothing_can_be_held_on_the_first_place():
    grid = read_grid(FOUR, QUARTERS, {**SOUNDS, "1": ["hold"]})
    with pytest.raises(GridError, match="nothing to hold on the first place"):
        bar_of(grid, FOUR)


@pytest.mark.parametrize(
    ("meter", "titles"),
    [("2/4", ["Beat 1", "Beat 2"]), ("6/8", ["Counts 1 to 3", "Counts 4 to 6"])],
)
def test_beats_are_called_as_they_are_counted(meter, titles):
    assert [beat.title for beat in blank(Meter.parse(meter))] == titles
