"""What stored rule sets gave before strokes could be together, they give now."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet

KEPT = json.loads(Path(__file__).with_name("kept_spaces.json").read_text())


def space_of(kept: dict[str, Any]) -> FillSpace:
    return FillSpace(
        Bar.from_json(KEPT["bars"][kept["bar"]]),
        RuleSet.from_json(KEPT["rule sets"][kept["rules"]]),
        Kit.from_json(KEPT["kits"][kept["kit"]]),
    )


def strokes_of(numbers: list[int]) -> list[Any]:
    return [KEPT["strokes"][number] for number in numbers]


each_space = pytest.mark.parametrize("kept", KEPT["spaces"], ids=lambda kept: kept["rules"])


@each_space
def test_a_stored_rule_set_leaves_as_many_fills_as_it_did(kept):
    assert space_of(kept).size == int(kept["size"])


@each_space
def test_a_number_stands_for_the_fill_it_stood_for_and_is_stored_as_it_was(kept):
    space = space_of(kept)
    fills = [space.fill(int(rank)) for rank in kept["ranks"]]
    assert [fill.to_json()["strokes"] for fill in fills] == list(map(strokes_of, kept["fills"]))


@each_space
def test_a_stored_fill_is_read_as_it_was_and_has_its_number(kept):
    space = space_of(kept)
    played = space.setting.bar.to_json()
    stored = [{"bar": played, "strokes": strokes_of(fill)} for fill in kept["fills"]]
    fills = [Fill.from_json(form) for form in stored]
    assert [str(space.rank(fill)) for fill in fills] == kept["ranks"]
    assert [fill.to_json() for fill in fills] == stored


@each_space
def test_the_same_seed_draws_the_same_fills(kept):
    space = space_of(kept)
    drawn = space.sample(len(kept["drawn"]), seed=11)
    assert [str(space.rank(fill)) for fill in drawn] == kept["drawn"]


def test_a_stored_rule_set_is_stored_as_it_was():
    read = [RuleSet.from_json(rules).to_json() for rules in KEPT["rule sets"]]
    assert read == KEPT["rule sets"]


def test_most_of_the_spaces_have_fills_to_look_at():
    assert sum(len(kept["fills"]) for kept in KEPT["spaces"]) >= 150
