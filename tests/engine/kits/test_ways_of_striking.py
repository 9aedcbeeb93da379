"""Open hats, rim shots and sticks: what they are played on, and when a note may have them."""

from __future__ import annotations

import json
from itertools import product

import pytest

from rhythms.engine import Bar, FillSpace, Kit, RuleSet, Surface
from rhythms.engine.errors import FillError, KitError
from rhythms.engine.fills.fill import Hit, stroke_of
from rhythms.engine.fills.together_likeness import SAME_BASE, surface_likeness
from rhythms.engine.kits.kit_layout import PLACES, distance
from rhythms.engine.kits.move_time import REBOUND, move_time
from rhythms.engine.kits.surfaces import FAMILIES, KIT_SURFACES, WAYS, base, family
from rhythms.engine.space.conflict import conflict_in_words

BAR = Bar.from_counts("1 2 3 4")
PAD = Kit.of(["snare"])
HAT = Kit.of(["snare", "hi-hat", "bass drum"])
PLAYED_ON = [(way, on) for way, on in WAYS.items() if on is not None]


def space_of(*rules: dict, kit: Kit = HAT) -> FillSpace:
    return FillSpace(BAR, RuleSet.from_json(list(rules)), kit)


def placed(*surfaces: str, counts: tuple[str, ...] = ()) -> dict:
    return {"rule": "placement", "surfaces": list(surfaces)} | (
        {"counts": list(counts)} if counts else {}
    )


def struck(space: FillSpace, note: int) -> set[str]:
    return {str(space.fill(rank).strokes[note].surface) for rank in range(space.size)}


def test_ways_of_striking_come_behind_all_that_a_kit_may_list():
    assert tuple(Surface) == (*KIT_SURFACES, *WAYS)


def test_a_kit_has_the_ways_of_striking_what_it_has():
    assert PAD.ways == (Surface.RIM_SHOT, Surface.STICKS)
    assert HAT.ways == tuple(WAYS)
    assert HAT.has(Surface.OPEN_HI_HAT)
    assert not PAD.has(Surface.OPEN_HI_HAT)


def test_a_kit_does_not_list_them():
    with pytest.raises(KitError, match="“rim shot” is a way of striking"):
        Kit.of(["snare", "rim shot"])
    assert "rim shot" not in json.dumps(HAT.to_json())


@pytest.mark.parametrize(("way", "on"), PLAYED_ON)
def test_a_way_stands_and_belongs_where_its_drum_does(way, on):
    assert (base(way), family(way), PLACES[way]) == (on, family(on), PLACES[on])
    assert distance(way, on) == 0


@pytest.mark.parametrize(("way", "on"), PLAYED_ON)
def test_another_way_of_striking_is_no_move(way, on):
    assert move_time(on, way) == move_time(way, on) == REBOUND


@pytest.mark.parametrize(("way", "on"), PLAYED_ON)
def test_another_way_of_striking_is_alike_but_not_the_same(way, on):
    others = [surface_likeness(on, other) for other in KIT_SURFACES if other != on]
    assert max(others) < surface_likeness(way, on) == SAME_BASE < 1


@pytest.mark.parametrize("names", [["anything"], [*FAMILIES], ["snare", "hi-hat"]])
def test_without_its_name_no_note_has_it(names):
    space = space_of(placed(*names))
    assert not {stroke.surface for reach in space.within_reach for stroke in reach} & {*WAYS}


@pytest.mark.parametrize("way", WAYS)
def test_where_a_rule_names_it_the_note_has_it_and_no_other_note(way):
    space = space_of(placed("snare", str(way), counts=("2",)))
    assert struck(space, 1) == {"snare", str(way)}
    assert struck(space, 0) == {"snare", "hi-hat"}
    assert space.size == 2**4


def test_a_rule_that_names_the_drum_or_everything_lets_another_rule_ask_for_its_way():
    for names in (["hi-hat"], ["cymbals"], ["anything"]):
        space = space_of(placed(*names), placed("open hi-hat", counts=("4",)))
        assert struck(space, 3) == {"open hi-hat"}


def test_what_is_kept_off_the_drum_is_kept_off_all_ways_of_striking_it():
    space = space_of(
        {"rule": "placement", "surfaces": {"anything but": ["hi-hat"]}},
        placed("open hi-hat", counts=("4",)),
    )
    assert space.size == 0
    assert "open hi-hat" in conflict_in_words(space)


def test_a_kit_without_the_drum_says_so():
    words = conflict_in_words(space_of(placed("open hi-hat"), kit=PAD))
    assert "this kit has no open hi-hat" in words


def test_strokes_in_number_order_have_the_ways_behind_the_feet():
    rules = RuleSet.from_json([placed("anything", "bass drum", "rim shot", "stick on stick")])
    space = FillSpace(Bar.from_counts("1", "1/4"), rules, HAT)
    in_order = [str(space.fill(rank).strokes[0].surface) for rank in range(space.size)]
    assert in_order == ["snare", "hi-hat", "bass drum", "rim shot", "stick on stick"]


@pytest.mark.parametrize("ornament", ["flam", "drag", "diddle"])
def test_stick_on_stick_has_no_ornament(ornament):
    ornamented = {"rule": "ornament", "ornament": ornament, "n": 0}
    reach = space_of(placed("snare", "stick on stick"), ornamented).within_reach[0]
    dressed = {stroke.surface for stroke in reach if stroke.ornament}
    assert "snare" in dressed
    assert "stick on stick" not in dressed
    with pytest.raises(FillError, match=f"cannot be a {ornament}"):
        stroke_of([Hit(Surface.STICKS)], ornament)


def test_two_hands_are_not_on_one_drum_at_once_however_they_strike():
    for way, other in product((Surface.OPEN_HI_HAT, Surface.HALF_OPEN_HI_HAT), repeat=2):
        with pytest.raises(FillError, match="The hi-hat is struck twice at once"):
            stroke_of([Hit(way), Hit(other if other != way else Surface.HI_HAT)])


def test_stick_on_stick_takes_both_hands():
    with pytest.raises(FillError, match="Stick on stick takes both hands"):
        stroke_of([Hit(Surface.STICKS), Hit(Surface.SNARE)])
    assert stroke_of([Hit(Surface.STICKS), Hit(Surface.BASS_DRUM)]).beside
