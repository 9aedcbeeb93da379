"""Kits: known surfaces, each once."""

from __future__ import annotations

import pytest

from rhythms.engine import Kit, Surface
from rhythms.engine.errors import KitError


def test_the_standard_kit_has_eight_surfaces_for_the_hands_and_two_for_the_feet():
    kit = Kit.standard()
    assert [str(surface) for surface in kit.hand_surfaces] == [
        "snare",
        "high tom",
        "mid tom",
        "floor tom",
        "hi-hat",
        "ride",
        "crash",
        "cowbell",
    ]
    assert set(kit.surfaces) - set(kit.hand_surfaces) == {"bass drum", "hi-hat foot"}
    assert not kit.left_handed


@pytest.mark.parametrize("left_handed", [True, False])
def test_a_kit_survives_being_stored(left_handed):
    kit = Kit.of(["ride", "snare", "bass drum"], left_handed=left_handed)
    assert Kit.from_json(kit.to_json()) == kit


def test_the_order_of_the_surfaces_does_not_depend_on_how_they_were_given():
    assert Kit.of(["ride", "snare"]) == Kit.of(["snare", "ride"])


@pytest.mark.parametrize(
    ("names", "words"),
    [
        (["snare", "gong"], "gong"),
        (["snare", "snare"], "once"),
        (["bass drum"], "for the hands"),
        ([], "for the hands"),
    ],
)
def test_a_kit_that_cannot_be_played_is_refused_in_words(names, words):
    with pytest.raises(KitError, match=words):
        Kit.of(names)


@pytest.mark.parametrize(
    "data", [None, [], {"surfaces": 3}, {"surfaces": [["snare"]]}, {"surfaces": [{}]}]
)
def test_what_is_not_a_stored_kit_is_refused(data):
    with pytest.raises(KitError):
        Kit.from_json(data)


def test_feet_are_mirrored_with_the_kit():
    assert Kit.standard().foot_for(Surface.BASS_DRUM) == "RF"
    assert Kit.standard(left_handed=True).foot_for(Surface.BASS_DRUM) == "LF"
    assert Kit.standard(left_handed=True).foot_for(Surface.HI_HAT_FOOT) == "RF"
