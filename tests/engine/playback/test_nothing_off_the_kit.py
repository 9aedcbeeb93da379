"""Nothing that a kit lacks sounds in a block, or is named to whoever has the kit."""

from collections.abc import Collection

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rhythms.engine import Fill, FillSpace, Kit, Meter, Surface
from rhythms.engine.kits.surfaces import FAMILIES, KIT_SURFACES
from rhythms.engine.playback.groove_library import grooves_for
from rhythms.engine.playback.groove_names import groove_name_on, surfaces_named
from rhythms.engine.playback.stand_ins import landing_in_words
from rhythms.engine.playback.timeline import Block
from rhythms.engine.rules.rule_list import RuleSet
from tests.engine.rules_at_random import bars, rule_sets
from tests.thoroughness import examples

HANDS = [surface for surface in KIT_SURFACES if not surface.endswith(("drum", "foot"))]
PAD = Kit.of(["snare"])
SMALL = Kit.of(["snare", "floor tom", "hi-hat", "ride", "bass drum"])


@st.composite
def kits(draw: st.DrawFn) -> Kit:
    """Any kit with something for the hands, either way round."""
    names = draw(st.sets(st.sampled_from(KIT_SURFACES)))
    return Kit.of({*names, draw(st.sampled_from(HANDS))}, left_handed=draw(st.booleans()))


@st.composite
def given_fills(draw: st.DrawFn) -> tuple[Kit, RuleSet, Fill]:
    """A fill that rules at random allow on a kit at random."""
    kit = draw(kits())
    rules = RuleSet.from_json(draw(rule_sets))
    space = FillSpace(draw(bars), rules.mirrored() if kit.left_handed else rules, kit)
    assume(space.size)
    return kit, space.rule_set, space.fill(draw(st.integers(0, space.size - 1)))


def off(kit: Kit, surfaces: Collection[Surface]) -> list[Surface]:
    return [surface for surface in surfaces if not kit.has(surface)]


def off_with_ways(kit: Kit, surfaces: Collection[Surface]) -> list[Surface]:
    """Whoever has a snare can strike its rim, and a ride has a bell, listed or not."""
    own = {Surface.CROSS_STICK: Surface.SNARE, Surface.RIDE_BELL: Surface.RIDE}
    return [one for one in off(kit, surfaces) if own.get(one) not in kit.surfaces]


@examples(400, quick=60)
@given(given_fills(), st.data(), st.booleans())
def test_no_surface_outside_the_kit_sounds_in_a_block(drawn, data, sets_up):
    kit, _, fill = drawn
    meter = fill.bar.meter.one_bar
    groove = data.draw(st.sampled_from(grooves_for(meter)))
    bars = fill.bar.meter.bars + 3
    block = Block(fill, groove, bars, kit.surfaces, groove.feel, sets_up=sets_up)
    assert not off_with_ways(kit, {sound.surface for sound in block.sounds})


@examples(400, quick=60)
@given(given_fills())
def test_no_sentence_of_a_rule_names_what_the_kit_lacks(drawn):
    kit, rules, _ = drawn
    said = " ".join(rules.sentences_on(kit))
    assert not off(kit, surfaces_named(said))
    families = [name for name in ("toms", "cymbals", "bells") if name in said]
    assert all(any(kit.has(one) for one in FAMILIES[name]) for name in families)


@pytest.mark.parametrize("left_handed", [False, True])
def test_on_a_whole_kit_rules_say_what_they_always_say(left_handed):
    rules = RuleSet.from_json(
        [
            {"rule": "placement", "values": ["16th"], "surfaces": ["toms", "crash"]},
            {"rule": "alternate families"},
            {"rule": "foot under"},
        ]
    )
    whole = Kit.of(KIT_SURFACES, left_handed=left_handed)
    assert rules.sentences_on(whole) == rules.sentences()


def test_a_family_of_one_is_named_by_its_drum():
    rules = RuleSet.from_json([{"rule": "placement", "surfaces": ["toms", "crash", "snare"]}])
    assert rules.sentences_on(SMALL) == ("All notes go on the floor tom or snare.",)


def test_what_must_be_left_out_and_is_not_there_leaves_the_whole_kit():
    rules = RuleSet.from_json([{"rule": "placement", "surfaces": {"anything but": ["crash"]}}])
    assert rules.sentences_on(SMALL) == ("All notes go anywhere on the kit.",)


def test_a_foot_that_may_go_under_a_crash_says_nothing_without_one():
    rules = RuleSet.from_json([{"rule": "foot under", "when": "maybe"}])
    assert rules.sentences_on(SMALL) == ()


@given(kits())
def test_the_landing_is_named_by_a_cymbal_of_the_kit_or_by_none(kit):
    assert not off(kit, surfaces_named(landing_in_words(kit.surfaces)))


@pytest.mark.parametrize(
    ("names", "words"),
    [
        (["snare", "ride", "crash"], "the crash"),
        (["snare", "ride", "china"], "the ride"),
        (["snare", "splash", "china"], "the china"),
        (["snare", "hi-hat", "bass drum"], "an accent"),
        (["snare"], "an accent"),
    ],
)
def test_the_landing_in_words(names, words):
    assert landing_in_words(Kit.of(names).surfaces) == words


@given(kits(), st.sampled_from(["4/4", "6/8", "3/4", "12/8"]))
def test_no_groove_is_called_by_what_the_kit_lacks(kit, meter):
    for groove in grooves_for(Meter.parse(meter)):
        called = groove_name_on(groove.name, kit.surfaces)
        assert called
        assert not off_with_ways(kit, surfaces_named(called))


@pytest.mark.parametrize(
    ("name", "kit", "called"),
    [
        ("rock on the ride", SMALL, "rock on the ride"),
        ("rock on the ride", Kit.of(["snare", "hi-hat"]), "rock on the hi-hat"),
        ("rock on the ride", PAD, "rock"),
        ("rock with an open hi-hat", PAD, "rock"),
        ("jazz ride", PAD, "jazz"),
        ("Ride", PAD, "groove"),
        ("funk", PAD, "funk"),
        ("the pride of brides", PAD, "the pride of brides"),
    ],
)
def test_a_groove_is_called_by_what_is_played(name, kit, called):
    assert groove_name_on(name, kit.surfaces) == called
