"""Drawing in proportion to weights, against plain listing of all paths."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise, product
from math import exp, inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine.space.weighted_sampling import WeightedGraph, WeightedLayer

PLAYERS, LEANS = 2, 3


@st.composite
def graphs(draw) -> WeightedGraph:
    """Graphs that two players weigh, leaning nowhere or in three ways."""
    sizes = [1, *(draw(st.integers(1, 3)) for _ in range(draw(st.integers(1, 4))))]
    layers, leanings = [], []
    for here, there in pairwise(sizes):
        choices = draw(st.integers(1, 3))
        cells = here * choices
        after = draw(st.lists(st.integers(0, there), min_size=cells, max_size=cells))
        weights = st.lists(st.integers(0, 4), min_size=PLAYERS * cells, max_size=PLAYERS * cells)
        layers.append(
            WeightedLayer(
                np.array(after).reshape(here, choices),
                np.array(draw(weights), dtype=float).reshape(PLAYERS, here, choices),
            )
        )
        factors = st.lists(st.integers(0, 3), min_size=LEANS * choices, max_size=LEANS * choices)
        leanings.append(np.array(draw(factors), dtype=float).reshape(LEANS, choices))
    return WeightedGraph(layers, np.ones(sizes[-1]), draw(st.sampled_from([leanings, None])))


def listed(graph: WeightedGraph, lean: int, player: int, *, leaning: bool = True):
    """Every path with a weight above 0, with or without what leans."""
    found = {}
    for path in product(*(range(layer.after.shape[1]) for layer in graph.layers)):
        state, weight, leaned = 0, 1.0, 1.0
        for place, (layer, choice) in enumerate(zip(graph.layers, path, strict=True)):
            if state == len(layer.after):
                weight = 0.0
                break
            weight *= layer.weights[player, state, choice]
            leaned *= graph.leanings[place][lean, choice] if graph.leanings else 1.0
            state = layer.after[state, choice]
        if weight * leaned and state < len(graph.ends):
            found[path] = weight * leaned if leaning else weight
    return found


def ways_of(graph: WeightedGraph):
    """Each way to lean with each player."""
    return product(range(graph.leans), range(PLAYERS))


@given(graphs())
def test_the_weight_of_all_paths_is_that_of_the_listed_ones(graph):
    for lean, player in ways_of(graph):
        total, found = sum(listed(graph, lean, player).values()), graph.log_totals[lean, player]
        assert (found == -inf) if not total else exp(found) == pytest.approx(total)


@given(graphs())
def test_all_paths_are_those_of_any_player(graph):
    paths = {path for way in ways_of(graph) for path in listed(graph, *way)}
    found = list(map(tuple, graph.paths().tolist()))
    assert found == sorted(found)
    assert paths <= set(found)


@given(graphs())
def test_only_paths_are_drawn_and_their_weights_are_the_products(graph):
    drawable = [[listed(graph, lean, p) for p in range(PLAYERS)] for lean in range(graph.leans)]
    if not all(map(any, drawable)):
        return
    # Of each way to lean by a player who has paths there.
    players = [next(p for p, paths in enumerate(some) if paths) for some in drawable]
    drawn = graph.draw(np.array(players)[:, None].repeat(20, axis=1), np.random.default_rng(0))
    for lean, player in enumerate(players):
        theirs = drawn[20 * lean : 20 * (lean + 1)]
        assert {tuple(path) for path in theirs.tolist()} <= drawable[lean][player].keys()
        paths = listed(graph, lean, player, leaning=False)
        expected = [np.log(paths[tuple(path)]) for path in theirs.tolist()]
        assert graph.log_weights(theirs)[player] == pytest.approx(expected)


@pytest.mark.parametrize("leans", [False, True])
@pytest.mark.parametrize("n", [3, 20_000])
def test_paths_are_drawn_in_proportion_to_their_weights(n, leans):
    """Chi-squared for each player: 0.999 quantile for 7 degrees of freedom, 24.3 (any table of it).

    Few at a time are drawn by rows of a table, many from the table as a whole.
    """
    random = np.random.default_rng(5)
    after = np.zeros((1, 2), dtype=np.int64)
    layers = [WeightedLayer(after, random.uniform(0.2, 3.0, (2, 1, 2))) for _ in range(3)]
    leanings = [random.uniform(0.2, 1.0, (LEANS, 2)) for _ in layers] if leans else None
    graph = WeightedGraph(layers, np.ones(1), leanings)
    whose = np.resize([0, 1, 1], (graph.leans, n))
    drawn = np.array([graph.draw(whose, random) for _ in range(21_000 // n)])
    for lean, player in ways_of(graph):
        paths = listed(graph, lean, player)
        of_lean = drawn[:, lean * n : (lean + 1) * n]
        theirs = of_lean[:, whose[lean] == player].reshape(-1, len(layers)).tolist()
        counted, total = Counter(map(tuple, theirs)), sum(paths.values())
        expected = {path: len(theirs) * weight / total for path, weight in paths.items()}
        assert sum((counted[path] - e) ** 2 / e for path, e in expected.items()) < 24.3


def test_of_many_choices_the_running_sums_are_added_up_alike():
    random = np.random.default_rng(5)
    weights, leaning = random.random((2, 1, 300)), random.random((1, 300))
    layer = WeightedLayer(np.zeros((1, 300), dtype=np.int64), weights)
    graph = WeightedGraph([layer], np.ones(1), [leaning])
    drawn = graph.draw(np.zeros((1, 60_000), dtype=np.int64), random)[:, 0]
    share = weights[0, 0] * leaning[0] / (weights[0, 0] @ leaning[0])
    assert np.abs(np.bincount(drawn, minlength=300) / 60_000 - share).sum() < 0.08


class Walked(list[WeightedLayer]):
    """Layers that count how often all of them are gone through."""

    walks = 0

    def __iter__(self):
        self.walks += 1
        return super().__iter__()


@pytest.mark.parametrize("n", [1, 10_000])
@pytest.mark.parametrize("players", [1, 12])
def test_all_paths_of_all_players_are_drawn_in_one_walk(n, players):
    layers = Walked([WeightedLayer(np.zeros((1, 2), dtype=np.int64), np.ones((players, 1, 2)))] * 9)
    graph = WeightedGraph(layers, np.ones(1))
    graph.draw(np.resize(np.arange(players), (1, n)), np.random.default_rng(0))
    assert layers.walks == 1
