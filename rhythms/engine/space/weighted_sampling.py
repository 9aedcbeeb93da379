"""Exact drawing from a layered graph in proportion to weights on its edges.

The chance of a path is the product of its weights over the sum of that product over all paths:
forward filtering, backward sampling, with the sums of all ways to the end worked out first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import inf, log

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class WeightedLayer:
    """One note. ``after[state, choice]`` is the state of the next layer, its number of states
    where there is none; ``weights[state, choice]`` are at least 0.
    """

    after: Whole
    weights: Floats


@dataclass(frozen=True, eq=False)
class WeightedGraph:
    """Layers in order; it starts in state 0, and ``ends`` weighs the states after the last."""

    layers: Sequence[WeightedLayer]
    ends: Floats

    @cached_property
    def _sums(self) -> tuple[list[Floats], float]:
        """For each layer and behind the last, the weight of all ways to the end, scaled; and the
        logarithm of what it was scaled by in all.
        """
        ahead, scaled = np.append(self.ends, 0.0), 0.0
        found = [ahead]
        for layer in reversed(self.layers):
            ahead = np.append((ahead[layer.after] * layer.weights).sum(axis=1), 0.0)
            scale = float(ahead.max()) or 1.0
            ahead /= scale
            scaled += log(scale)
            found.append(ahead)
        return found[::-1], scaled

    @property
    def log_total(self) -> float:
        """The logarithm of the weight of all paths together; minus infinity without any."""
        (first, *_), scaled = self._sums
        return log(first[0]) + scaled if first[0] > 0 else -inf

    def paths(self) -> Whole:
        """All paths as the choices of each layer, in order; for graphs that have few."""
        states, paths = np.zeros(1, dtype=np.int64), np.zeros((1, 0), dtype=np.int64)
        for layer, ahead in zip(self.layers, self._sums[0][1:], strict=True):
            rows, choices = np.nonzero(ahead[layer.after[states]] * layer.weights[states])
            paths = np.hstack([paths[rows], choices[:, None]])
            states = layer.after[states[rows], choices]
        return paths

    def draw(self, n: int, random: np.random.Generator) -> Whole:
        """``n`` paths as the choices of each layer, repeats possible: paths by layers.

        The graph has paths.
        """
        states = np.zeros(n, dtype=np.int64)
        chosen = np.empty((n, len(self.layers)), dtype=np.int64)
        for place, (layer, ahead) in enumerate(zip(self.layers, self._sums[0][1:], strict=True)):
            running = (ahead[layer.after[states]] * layer.weights[states]).cumsum(axis=1)
            drawn = random.random(n) * running[:, -1]
            chosen[:, place] = (running <= drawn[:, None]).sum(axis=1)
            states = layer.after[states, chosen[:, place]]
        return chosen

    def log_weights(self, paths: Whole) -> Floats:
        """The logarithm of each path's product of weights; paths by layers. All are paths."""
        states, total = np.zeros(len(paths), dtype=np.int64), np.zeros(len(paths))
        for layer, choice in zip(self.layers, paths.T, strict=True):
            total += np.log(layer.weights[states, choice])
            states = layer.after[states, choice]
        return total
