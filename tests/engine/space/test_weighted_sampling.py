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


@st.composite
def graphs(draw) -> WeightedGraph:
    sizes = [1, *(draw(st.integers(1, 3)) for _ in range(draw(st.integers(1, 4))))]
    layers = []
    for here, there in pairwise(sizes):
        choices = draw(st.integers(1, 3))
        cells = here * choices
        after = draw(st.lists(st.integers(0, there), min_size=cells, max_size=cells))
        weights = draw(st.lists(st.integers(0, 4), min_size=cells, max_size=cells))
        layers.append(
            WeightedLayer(
                np.array(after).reshape(here, choices),
                np.array(weights, dtype=float).reshape(here, choices),
            )
        )
    return WeightedGraph(layers, np.ones(sizes[-1]))


def listed(graph: WeightedGraph) -> dict[tuple[int, ...], float]:
    """Every path with a weight above 0."""
    found = {}
    for path in product(*(range(layer.after.shape[1]) for layer in graph.layers)):
        state, weight = 0, 1.0
        for layer, choice in zip(graph.layers, path, strict=True):
            if state == len(layer.after):
                weight = 0.0
                break
            weight *= layer.weights[state, choice]
            state = layer.after[state, choice]
        if weight and state < len(graph.ends):
            found[path] = weight
    return found


@given(graphs())
def test_the_weight_of_all_paths_is_that_of_the_listed_ones(graph):
    total = sum(listed(graph).values())
    assert (graph.log_total == -inf) if not total else exp(graph.log_total) == pytest.approx(total)


@given(graphs())
def test_only_paths_are_drawn_and_their_weights_are_the_products(graph):
    paths = listed(graph)
    if not paths:
        return
    drawn = graph.draw(20, np.random.default_rng(0))
    assert {tuple(path) for path in drawn.tolist()} <= paths.keys()
    expected = [np.log(paths[tuple(path)]) for path in drawn.tolist()]
    assert graph.log_weights(drawn) == pytest.approx(expected)


def test_paths_are_drawn_in_proportion_to_their_weights():
    """Chi-squared: 0.999 quantile for 7 degrees of freedom, 24.3 (any table of it)."""
    random = np.random.default_rng(5)
    layers = [
        WeightedLayer(np.zeros((1, 2), dtype=np.int64), random.uniform(0.2, 3.0, (1, 2)))
        for _ in range(3)
    ]
    graph = WeightedGraph(layers, np.ones(1))
    paths, n = listed(graph), 20_000
    total = sum(paths.values())
    drawn = Counter(tuple(path) for path in graph.draw(n, random).tolist())
    expected = {path: n * weight / total for path, weight in paths.items()}
    assert sum((drawn[path] - e) ** 2 / e for path, e in expected.items()) < 24.3
