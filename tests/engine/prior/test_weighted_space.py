"""The prior on a fill space: exactly in proportion to weight, and nothing playable left out."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rhythms.bench.bench_watchers import FIVE, sextuplets
from rhythms.engine import Bar, FillSpace, Kit, RuleSet, Surface
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.fills.playability import top_tempo
from rhythms.engine.prior.human_prior import human_prior
from rhythms.engine.prior.remembering import MOST_IN_ALL, Remembering
from rhythms.engine.prior.weighted_space import FOOT, OTHER_HAND, WeightedSpace
from tests.engine.space.test_fill_space import placement, space_of, sticking
from tests.thoroughness import amount, examples

THREE = Kit.of(["snare", "floor tom", "crash", "bass drum"])
#: Spaces small enough to be listed, by what is remembered along them.
SMALL = {
    "five notes, three surfaces": space_of(bar=Bar.from_counts("1 e & a 2", "2/4"), kit=THREE),
    "at most two in a row": space_of(
        {"rule": "at most in a row", "n": 2}, bar=Bar.from_counts("1 & 2 & 3", "3/4"), kit=THREE
    ),
    "hands apart": space_of(
        {"rule": "hands apart"}, bar=Bar.from_counts("1 & 2 &", "2/4"), kit=THREE
    ),
    "a paradiddle": space_of(sticking("16th"), bar=Bar.from_counts("1 e & a 2", "2/4"), kit=THREE),
    "a foot now and then": space_of(
        placement(["snare", "floor tom", "bass drum"]),
        bar=Bar.from_counts("1 & 2 &", "2/4"),
        kit=THREE,
    ),
    "rests": space_of(bar=Bar.from_counts("1 (&) (2) &", "2/4")),
}
HUMAN = human_prior()


def listed(weighted: WeightedSpace) -> np.ndarray:
    return weighted.choices([weighted.space.fill(rank) for rank in range(weighted.space.size)])


@pytest.mark.parametrize("name", SMALL)
def test_all_paths_are_all_fills(name):
    weighted = WeightedSpace(SMALL[name], HUMAN)
    paths = weighted.paths(10_000)
    assert sorted(map(weighted.space.rank, weighted.fills(paths))) == [*range(weighted.space.size)]


def test_paths_are_not_listed_where_there_are_too_many():
    space = SMALL["at most two in a row"]
    assert WeightedSpace(space, HUMAN).paths(space.size) is not None
    assert WeightedSpace(space, HUMAN).paths(space.size - 1) is None


@pytest.mark.parametrize("name", SMALL)
def test_the_chances_of_all_fills_add_up_to_one(name):
    weighted = WeightedSpace(SMALL[name], HUMAN)
    chances = np.exp(weighted.log_chances(listed(weighted)))
    assert chances.sum() == pytest.approx(1)
    assert chances.min() > 0


@pytest.mark.parametrize("name", SMALL)
@pytest.mark.parametrize("dial", [0.0, 0.75, 1.0])
def test_steps_are_drawn_exactly_in_proportion_to_listed_weights(name, dial):
    """Chi-squared, fills expected less than five times taken together; the bound is the mean and
    4.5 standard deviations of it (mean k, variance 2k: any handbook).
    """
    weighted = WeightedSpace(SMALL[name], HUMAN)
    fills = listed(weighted)
    graph = weighted.graph(dial)
    weights = np.exp(graph.log_weights(fills))
    chances = HUMAN.shares @ (weights / weights.sum(axis=1, keepdims=True))
    n = amount(200_000, 20_000)
    drawn = weighted.step_by_step(graph, n, np.random.default_rng(3))
    counted = Counter(map(tuple, drawn.tolist()))
    seen = np.array([counted[tuple(fill)] for fill in fills.tolist()], dtype=float)
    assert seen.sum() == n
    often = n * chances >= 5
    observed = np.append(seen[often], seen[~often].sum())
    expected = np.append(n * chances[often], n * chances[~often].sum())
    kept = expected > 0
    chi_squared = ((observed - expected)[kept] ** 2 / expected[kept]).sum()
    freedom = kept.sum() - 1
    assert chi_squared < freedom + 4.5 * (2 * freedom) ** 0.5


def test_with_the_dial_at_nothing_every_fill_weighs_the_same():
    weighted = WeightedSpace(SMALL["hands apart"], HUMAN)
    assert weighted.graph(0.0).log_totals == pytest.approx(np.log(weighted.space.size))


def test_fills_are_kept_in_proportion_to_the_ratio_of_phrases():
    """As sampling importance resampling approximates it: nearer with more tries."""
    weighted = WeightedSpace(SMALL["five notes, three surfaces"], HUMAN)
    fills = listed(weighted)
    wanted = np.exp(weighted.log_chances(fills) + weighted.log_ratio(fills))
    wanted /= wanted.sum()
    plain = np.exp(weighted.log_chances(fills))
    n = amount(40_000, 8_000)
    drawn = weighted.phrased(weighted.graph(1.0), n, 1.0, np.random.default_rng(3))
    counted = Counter(map(tuple, drawn.tolist()))
    seen = np.array([counted[tuple(fill)] / n for fill in fills.tolist()])
    assert np.abs(seen - wanted).sum() < 0.35 * np.abs(seen - plain).sum()


def test_a_foot_weighs_the_same_wherever_the_hands_are():
    space = SMALL["a foot now and then"]
    weighted = WeightedSpace(space, HUMAN)
    for layer, weighed in zip(space.graph.layers, weighted.graph(1.0).layers, strict=True):
        (foot,) = [place for place, stroke in enumerate(layer.strokes) if stroke.by_foot]
        assert np.allclose(weighed.weights[:, :, foot], FOOT)


def test_where_hands_are_open_the_hand_of_the_grid_comes_first():
    space = SMALL["hands apart"]
    graph = WeightedSpace(space, HUMAN).graph(1.0)
    strokes = space.graph.layers[0].strokes
    first = dict(zip(strokes, graph.layers[0].weights[0, 0], strict=True))
    right, left = (next(s for s in strokes if s.limb == hand) for hand in "RL")
    assert first[left] / first[right] == pytest.approx(OTHER_HAND)


def test_a_space_that_would_need_too_long_a_memory_remembers_less(monkeypatch):
    monkeypatch.setattr("rhythms.engine.prior.remembering._MOST_STEPS", 20)
    for space in SMALL.values():
        assert Remembering(space).depth < 2
        weighted = WeightedSpace(space, HUMAN)
        assert np.exp(weighted.log_chances(listed(weighted))).sum() == pytest.approx(1)


@examples(150)
@given(
    st.sampled_from(list(SMALL)),
    st.integers(30, 300),
    st.sampled_from([STRAIGHT, Feel(67), Feel(75, "16ths")]),
    st.randoms(use_true_random=False),
)
def test_nothing_that_can_be_played_at_a_tempo_is_left_out(name, tempo, feel, random):
    space = SMALL[name]
    fills = [space.fill(rank) for rank in random.sample(range(space.size), min(25, space.size))]
    playable = [fill for fill in fills if top_tempo(fill, space.kit, feel) >= tempo]
    assume(playable)
    weighted = WeightedSpace(space, HUMAN, tempo, feel)
    within = {tuple(path) for path in weighted.paths(space.size).tolist()}
    assert {tuple(choices) for choices in weighted.choices(playable).tolist()} <= within


def test_what_two_strokes_make_impossible_is_left_out():
    bar = Bar.from_counts("1 e & a 2 e & a", "2/4")
    space = FillSpace(bar, RuleSet.from_json([sticking(rudiment="double stroke roll")]), THREE)
    # At 140 a 16th is 0.107 s, and no hand moves in less than 0.11 s: doubles stay.
    fills = WeightedSpace(space, HUMAN, 140).fills(WeightedSpace(space, HUMAN, 140).paths(1000))
    assert len(fills) == 3**4
    assert all(a.surface == b.surface for fill in fills for a, b in [fill.strokes[:2]])


def test_swung_what_two_strokes_make_impossible_is_more():
    bar = Bar.from_counts("1 e & a 2 e & a", "2/4")
    space = FillSpace(bar, RuleSet.from_json([sticking(rudiment="paradiddle rotation 3")]), THREE)
    counted = [
        len(WeightedSpace(space, HUMAN, 100, feel).paths(10_000))
        for feel in (STRAIGHT, Feel(67, "16ths"))
    ]
    assert counted[0] > counted[1] > 0


def test_where_nothing_can_be_played_there_are_no_paths():
    bar = Bar.from_counts("1 e & a 2 e & a", "2/4")
    rules = [sticking(rudiment="double stroke roll"), {"rule": "at most in a row", "n": 1}]
    space = FillSpace(bar, RuleSet.from_json(rules), THREE)
    assert space.size
    assert len(WeightedSpace(space, HUMAN, 300).paths(1000)) == 0


def test_runs_beyond_what_drummers_make_are_counted_by_the_stroke():
    kit = Kit((Surface.SNARE, Surface.CRASH))
    weighted = WeightedSpace(space_of(bar=Bar.from_counts("1 & 2 & 3", "3/4"), kit=kit), HUMAN)
    snare, crash = 0, 1
    paths = np.array([[crash] * 5, [crash, crash, snare, crash, crash], [snare] * 5])
    assert weighted.overlong(paths).tolist() == [3, 0, 0]


class TestASpaceOfMoreStatesThanAreLookedAt:
    @pytest.fixture
    def space(self):
        """Nineteen thousand states on 48 notes."""
        return FillSpace(sextuplets(8), RuleSet.from_json(FIVE), Kit.standard())

    def test_only_what_some_fills_go_through_is_kept(self, space):
        remembering = Remembering(space, 60.0)
        assert remembering.thinned
        assert sum(layer.after.size for layer in remembering.layers) <= MOST_IN_ALL

    def test_fills_of_it_are_drawn_and_most_differ(self, space):
        weighted = WeightedSpace(space, HUMAN, 60.0)
        drawn = weighted.step_by_step(weighted.graph(1.0), 50, np.random.default_rng(1))
        fills = set(weighted.fills(drawn))
        assert all(fill in space for fill in fills)
        assert len(fills) > 40

    def test_it_is_never_taken_for_all_there_is(self, space):
        assert WeightedSpace(space, HUMAN, 60.0).paths(10**9) is None
