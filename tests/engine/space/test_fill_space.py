"""The fill space: exact counts, numbering both ways, and uniform samples."""

from __future__ import annotations

import math
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet, Stroke, Surface
from rhythms.engine.errors import FillError, RankError, TooManyStatesError
from rhythms.engine.kits.surfaces import KIT_SURFACES
from rhythms.engine.space.explain import explain
from rhythms.engine.space.unranking import strokes_of
from tests.engine.rules_at_random import bars, kits, rule_sets

BAR = Bar.from_counts("1 & 2 e & a 3 & 4 e & a", meter="4/4")


def placement(surfaces: object, *values: str) -> dict:
    scope = {"values": list(values)} if values else {}
    return {"rule": "placement", **scope, "surfaces": surfaces}


def sticking(*values: str, **parts: str) -> dict:
    scope = {"values": list(values)} if values else {}
    whole = {
        "rudiment": "single paradiddle",
        "lead": "R",
        "follow": "notes",
        "restart": "never",
        "others": "alternate",
        **parts,
    }
    return {"rule": "sticking", **scope, **whole}


def space_of(*rules: dict, bar: Bar = BAR, kit: Kit | None = None) -> FillSpace:
    return FillSpace(bar, RuleSet.from_json(list(rules)), kit or Kit.standard())


def hands(fill: Fill) -> str:
    return "".join(stroke.limb or "?" for stroke in fill.strokes)


# --- known sizes: rules of common practice, counted by hand ---------------------------


def test_eighths_on_the_snare_and_16ths_anywhere_are_eight_to_the_eighth():
    assert space_of(placement(["snare"], "eighth"), placement(["anything"], "16th")).size == 8**8


def test_eighths_off_the_snare_and_16ths_on_it_are_seven_to_the_fourth():
    rules = placement(["toms", "cymbals", "cowbell"], "eighth"), placement(["snare"], "16th")
    assert space_of(*rules).size == 7**4


def test_all_on_the_snare_with_a_paradiddle_is_one_fill():
    assert space_of(placement(["snare"]), sticking("16th")).size == 1


def test_a_paradiddle_moved_anywhere_is_eight_to_the_eighth():
    assert space_of(placement(["snare"], "eighth"), sticking("16th")).size == 8**8


def test_hands_left_free_by_a_sticking_are_counted():
    assert space_of(placement(["snare"]), sticking("16th", others="free")).size == 2**4


def test_hands_are_not_counted_where_no_rule_speaks_of_them():
    assert space_of(placement(["snare"])).size == 1
    assert all(stroke.limb is None for stroke in space_of(placement(["snare"])).fill(0).strokes)


def test_placements_on_one_note_intersect():
    rules = placement(["toms"]), placement({"anything but": ["floor tom"]})
    assert space_of(*rules).size == 2**12


def test_feet_play_only_where_a_placement_names_them():
    assert space_of(placement(["anything"])).size == 8**12
    assert space_of(placement(["anything", "bass drum"])).size == 9**12


# --- sticking --------------------------------------------------------------------------


EIGHTH_AND_TWO_16THS = Bar.from_counts("1 & a 2 & a 3 & a 4 & a")


# The two readings of "a paradiddle on the 16ths", worked out by hand from its letters.
@pytest.mark.parametrize(("follow", "letters"), [("notes", "RLRRLRLL"), ("grid", "RRLLRRLL")])
def test_the_16ths_follow_the_letters_note_by_note_or_by_the_grid(follow, letters):
    fill = space_of(
        placement(["snare"]), sticking("16th", follow=follow), bar=EIGHTH_AND_TWO_16THS
    ).fill(0)
    taken = "".join(
        hand
        for hand, note in zip(hands(fill), EIGHTH_AND_TWO_16THS.sounded, strict=True)
        if note.value == "16th"
    )
    assert taken == letters


def test_other_notes_alternate_from_the_stroke_before():
    fill = space_of(placement(["snare"]), sticking("16th"), bar=EIGHTH_AND_TWO_16THS).fill(0)
    assert hands(fill) == "R" + "RL" + "R" + "RR" + "L" + "LR" + "L" + "LL"


def test_other_notes_alternate_on_from_the_hand_before_a_foot():
    foot = {"rule": "placement", "counts": ["1 &"], "surfaces": ["bass drum"]}
    snare = {"rule": "placement", "counts": ["1", "2", "2 &"], "surfaces": ["snare"]}
    found = space_of(foot, snare, sticking("16th"), bar=Bar.from_counts("1 & 2 &", "2/4"))
    assert [stroke.limb for stroke in found.fill(0).strokes] == ["R", "RF", "L", "R"]
    assert found.size == 1


def test_other_notes_go_hand_to_hand_by_the_grid():
    fill = space_of(
        placement(["snare"]), sticking("16th", others="grid"), bar=EIGHTH_AND_TWO_16THS
    ).fill(0)
    assert hands(fill) == "RRL" + "RRR" + "RLR" + "RLL"


def test_a_sticking_may_start_again_on_each_beat():
    fill = space_of(
        placement(["snare"]), sticking("16th", restart="beat"), bar=EIGHTH_AND_TWO_16THS
    ).fill(0)
    assert [hands(fill)[start + 1 : start + 3] for start in (0, 3, 6, 9)] == ["RL"] * 4


def test_a_left_lead_swaps_every_letter():
    rules = placement(["snare"]), sticking(rudiment="double paradiddle", lead="L")
    assert hands(space_of(*rules).fill(0)) == "LRLRLLRLRLRR"


def test_a_rule_set_mirrored_twice_is_itself():
    rules = RuleSet.from_json([placement(["snare"]), sticking("16th")])
    assert rules.mirrored() != rules
    assert rules.mirrored().mirrored() == rules


# --- numbering and samples --------------------------------------------------------------


@given(st.integers(0, 8**8 - 1))
def test_rank_and_fill_are_inverse(rank):
    found = space_of(placement(["snare"], "eighth"), sticking("16th"))
    assert found.rank(found.fill(rank)) == rank


def test_numbering_goes_past_64_bits():
    long_bar = Bar.from_counts(
        " ".join(f"{beat} trip let & trip let" for beat in (1, 2, 3, 4)), meter="4/4"
    )
    found = space_of(bar=long_bar)
    assert found.size == 8**24
    assert found.rank(found.fill(8**24 - 1)) == 8**24 - 1


def test_a_fill_outside_the_space_has_no_rank():
    found = space_of(placement(["snare"]))
    stranger = Fill(BAR, (Stroke(Surface.RIDE),) * 12)
    assert stranger not in found
    assert "1 2 3 4" not in found
    with pytest.raises(FillError, match="not among"):
        found.rank(stranger)


def test_a_fill_of_another_bar_is_not_in_the_space():
    other = space_of(bar=EIGHTH_AND_TWO_16THS).fill(0)
    assert other not in space_of()


def test_hands_do_not_matter_for_membership_where_they_are_not_counted():
    fill = Fill(BAR, (Stroke(Surface.SNARE, "R"),) * 12)
    assert fill in space_of(placement(["snare"]))


@pytest.mark.parametrize("rank", [-1, 1, 10**30])
def test_a_rank_outside_the_space_is_refused(rank):
    with pytest.raises(RankError, match="numbered from 0"):
        space_of(placement(["snare"])).fill(rank)


@pytest.mark.parametrize("rules", [(placement(["toms"]),), ()])
def test_a_sample_has_no_repeats_and_is_the_same_for_the_same_seed(rules):
    found = space_of(*rules, bar=Bar.from_counts("1 2 3 4"))
    sample = found.sample(50, seed=7)
    assert len(set(sample)) == 50
    assert sample == found.sample(50, seed=7)
    assert sample != found.sample(50, seed=8)


def test_a_sample_of_the_whole_space_is_the_space():
    found = space_of(placement(["snare", "cowbell"]), bar=Bar.from_counts("1 2 3 4"))
    assert {found.rank(fill) for fill in found.sample(16, seed=1)} == set(range(16))


def test_a_sample_beyond_64_bits_is_drawn_from_the_whole_range():
    long_bar = Bar.from_counts(" ".join(f"{beat} e & a" for beat in range(1, 8)), meter="7/4")
    found = space_of(bar=long_bar)
    assert found.size == 8**28
    ranks = [found.rank(fill) for fill in found.sample(64, seed="lesson")]
    assert len(set(ranks)) == 64
    assert min(ranks) < found.size // 4 < 3 * found.size // 4 < max(ranks)


@given(bars, rule_sets, kits, st.integers(0, 99))
def test_fills_of_many_numbers_are_those_of_each_number(bar, rules, kit, seed):
    found = space_of(*rules, bar=bar, kit=kit)
    ranks = Random(seed).choices(range(found.size), k=20) if found.size else []
    together = list(strokes_of(found.graph.layers, ranks))
    assert together == [found.graph.strokes(rank) for rank in ranks]


def test_numbers_beyond_64_bits_are_turned_into_strokes_together():
    line = " ".join(f"{beat} trip let & trip let" for beat in range(1, 9))
    apart = {"rule": "hands apart"}, {"rule": "visit at least", "surfaces": 4}
    found = space_of(*apart, bar=Bar.from_counts(line, "8/4"))
    edges = [2**bits - odd for bits in (48, 96, 144) for odd in (0, 1)]
    ranks = [0, *edges, found.size - 1]
    assert [
        found.rank(Fill(found.bar, each)) for each in strokes_of(found.graph.layers, ranks)
    ] == ranks


def test_a_sample_is_uniform():
    """Chi-square of 4,096 draws over 256 fills; limit from the normal approximation, 4.5 sigma."""
    found = space_of(
        placement(["snare", "ride", "cowbell", "crash"]), bar=Bar.from_counts("1 2 3 4")
    )
    seen = [0] * 256
    for seed in range(512):
        for fill in found.sample(8, seed=seed):
            seen[found.rank(fill)] += 1
    chi_square = sum((count - 16) ** 2 / 16 for count in seen)
    assert chi_square < 255 + 4.5 * math.sqrt(2 * 255)
    assert min(seen) > 0


def test_more_fills_than_there_are_cannot_be_sampled():
    with pytest.raises(RankError, match="there are 1"):
        space_of(placement(["snare"])).sample(2, seed=1)


# --- known sizes of watched spaces, confirmed by a general-purpose solver at five and six notes


def test_apart_and_moving_on_the_paradiddle_has_the_known_sizes():
    rules = sticking(), {"rule": "at most in a row", "n": 2}, {"rule": "hands apart"}
    lines = {"1 e & a 2": 20_636, "1 e & a 2 e": 146_951}
    for line, size in lines.items():
        assert space_of(*rules, bar=Bar.from_counts(line, "2/4")).size == size
    whole = Bar.from_counts(" ".join(f"{beat} e & a" for beat in (1, 2, 3, 4)))
    assert space_of(*rules, bar=whole).size == 49_574_960_662_430


def test_apart_and_moving_on_24_notes_with_free_hands_has_the_known_size():
    rules = {"rule": "at most in a row", "n": 2}, {"rule": "hands apart"}
    bar = Bar.from_counts(" ".join(f"{beat} trip let & trip let" for beat in (1, 2, 3, 4)))
    assert space_of(*rules, bar=bar).size == 5_942_193_828_521_540_290_760_998_596


# --- limits ------------------------------------------------------------------------------


def test_the_same_rule_given_many_times_is_counted_once():
    rule = {"rule": "visit at least", "surfaces": 4}
    once = space_of(rule, bar=EIGHTH_AND_TWO_16THS)
    often = space_of(*[rule] * 60, bar=EIGHTH_AND_TWO_16THS)
    assert once.size == often.size
    assert once.graph.states == often.graph.states


def test_rules_that_remember_too_much_together_are_refused_in_words():
    surfaces = {"rule": "visit at least", "surfaces": 14}
    kit = Kit(KIT_SURFACES)
    counts = [
        {"rule": "dynamics", "dynamic": "accent", "n": 12, "values": ["16th"]},
        {"rule": "dynamics", "dynamic": "ghost", "n": 12, "position": "off the beat"},
    ]
    bar = Bar.from_counts(" ".join(f"{beat} e & a" for beat in range(1, 16)), "15/4")
    space = space_of(surfaces, {"rule": "hands apart"}, *counts, bar=bar, kit=kit)
    with pytest.raises(TooManyStatesError, match="Leave out one"):
        _ = space.size


def test_counts_that_would_fill_the_memory_are_refused_in_words():
    """Work enough is left for them, but on 90 notes they would take 113 MB."""
    rules = (
        {"rule": "visit at least", "surfaces": 6},
        {"rule": "dynamics", "dynamic": "ghost", "n": 16},
        {"rule": "linear", "pattern": "RLFH"},
    )
    line = " ".join(f"{beat} trip let & trip let" for beat in range(1, 16))
    space = space_of(*rules, bar=Bar.from_counts(line, "15/4"), kit=Kit(KIT_SURFACES))
    with pytest.raises(TooManyStatesError, match="Leave out one"):
        _ = space.size


def test_where_hands_go_is_not_said_of_notes_that_the_feet_have():
    """“All notes on the snare” and “the bass drum on the beat”: one fill, and not none."""
    on_the_beat = {"rule": "feet", "on": "notes", "position": "on the beat", "foot": "bass drum"}
    space = space_of(placement(["snare"]), on_the_beat, bar=Bar.from_counts("1 & 2 & 3 & 4 &"))
    assert space.size == 1
    assert [stroke.surface for stroke in space.fill(0).strokes] == ["bass drum", "snare"] * 4
    assert all(verdict.kept for verdict in explain(space, space.fill(0)))


def test_a_placement_that_names_a_foot_speaks_of_its_notes():
    on_the_beat = {"rule": "feet", "on": "notes", "position": "on the beat", "foot": "either foot"}
    only_the_bass_drum = placement(["snare", "bass drum"])
    space = space_of(only_the_bass_drum, on_the_beat, bar=Bar.from_counts("1 & 2 &", "2/4"))
    assert {s.surface for f in space.sample(space.size, 1) for s in f.strokes} == {
        "snare",
        "bass drum",
    }
