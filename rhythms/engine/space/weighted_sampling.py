"""Drawing fills from a space with some strokes more likely than others.

Every fill drawn is in the space; only the chances lean. Used to look for fills far from those
a student knows, where a uniform sample of an enormous space holds none.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Fill
from rhythms.engine.space.fill_space import FillSpace
from rhythms.engine.space.graph import Layer

Floats = NDArray[np.float64]


def draw_leaning(
    space: FillSpace, leanings: Sequence[Floats], n: int, seed: Sequence[int]
) -> list[Fill]:
    """``n`` fills, repeats possible, each with a chance in proportion to the product of weights.

    ``leanings[i]`` holds one weight above 0 for each stroke open to note i, in the layer's
    order. The space has fills.
    """
    layers = space.graph.layers
    to_come = _weights_to_come(space, leanings)
    random = np.random.default_rng(list(seed))
    states = np.zeros(n, dtype=np.int64)
    chosen: list[NDArray[np.int64]] = []
    for layer, leaning, ahead in zip(layers, leanings, to_come[1:], strict=True):
        ways = ahead[layer.after[states]] * leaning
        running = ways.cumsum(axis=1)
        drawn = random.random(n) * running[:, -1]
        choice = (running <= drawn[:, None]).sum(axis=1)
        chosen.append(choice)
        states = layer.after[states, choice]
    return [_fill(space, layers, row) for row in np.array(chosen).reshape(len(layers), n).T]


def _weights_to_come(space: FillSpace, leanings: Sequence[Floats]) -> list[Floats]:
    """For each layer, the weight of all ways to finish the bar from each state, scaled."""
    machine = space.graph.machine
    ahead = np.append(machine.accepts, False).astype(float)
    found = [ahead]
    for layer, leaning in zip(reversed(space.graph.layers), reversed(leanings), strict=True):
        ahead = np.append(ahead[layer.after] @ leaning, 0.0)
        ahead /= ahead.max() or 1.0
        found.append(ahead)
    return found[::-1]


def _fill(space: FillSpace, layers: Sequence[Layer], choices: NDArray[np.int64]) -> Fill:
    strokes = (
        layer.strokes[choice] for layer, choice in zip(layers, choices.tolist(), strict=True)
    )
    return Fill(space.setting.bar, tuple(strokes))
