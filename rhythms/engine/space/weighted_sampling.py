"""Exact drawing from a layered graph in proportion to weights on its edges.

The chance of a path is the product of its weights over the sum of that product over all paths:
forward filtering, backward sampling, with the sums of all ways to the end worked out first. Several
players weigh the same edges, each in their own way: all of them are worked out in one walk back,
and all paths drawn in one walk forth, whoever plays them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
#: Running sums of few choices are a product with a triangle, which is quicker than adding up one
#: by one; of so many numbers it takes one thread, and waits for no other one.
_NARROW, _ONE_THREAD = 64, 250_000


@dataclass(frozen=True, eq=False)
class WeightedLayer:
    """One note. ``after[state, choice]`` is the state of the next layer, its number of states
    where there is none; ``weights[player, state, choice]`` are at least 0.
    """

    after: Whole
    weights: Floats


@dataclass(frozen=True, eq=False)
class WeightedGraph:
    """Layers in order; it starts in state 0, and ``ends`` weighs the states after the last.

    ``leanings`` has for each layer a factor at least 0 on each of its choices, for all players and
    states; None leans nowhere.
    """

    layers: Sequence[WeightedLayer]
    ends: Floats
    leanings: Sequence[Floats] | None = None

    @property
    def players(self) -> int:
        """How many weigh the edges."""
        return len(self.layers[0].weights) if self.layers else 1

    @cached_property
    def _going_on(self) -> tuple[list[Floats], Floats]:
        """For each layer the weight of all ways on with each choice, without its own leaning:
        players by states by choices, scaled; and the logarithm of the sum of all ways, by player.
        """
        ahead = np.zeros((self.players, len(self.ends) + 1))
        ahead[:, :-1] = self.ends
        scales, found = [np.ones((self.players, 1))], []
        for place in range(len(self.layers) - 1, -1, -1):
            layer = self.layers[place]
            ways = ahead.take(layer.after, axis=1)
            ways *= layer.weights
            found.append(ways)
            ahead = np.zeros((len(ways), ways.shape[1] + 1))
            np.einsum("psc,c->ps", ways, self._leaning(place), out=ahead[:, :-1])
            scale = ahead.max(axis=1, keepdims=True)
            scale[scale == 0] = 1.0
            ahead /= scale
            scales.append(scale)
        with np.errstate(divide="ignore"):
            totals = np.log(ahead[:, 0]) + np.log(scales).sum(axis=(0, 2))
        return found[::-1], totals

    def _leaning(self, place: int) -> Floats:
        if self.leanings is not None:
            return self.leanings[place]
        return _ones(self.layers[place].after.shape[1])

    @property
    def log_totals(self) -> Floats:
        """The logarithm of the weight of all paths together, by player; minus infinity without
        any.
        """
        return self._going_on[1]

    def paths(self) -> Whole:
        """All paths of any player as the choices of each layer, in order; for graphs that have
        few.
        """
        states, paths = np.zeros(1, dtype=np.int64), np.zeros((1, 0), dtype=np.int64)
        for place, (layer, ways) in enumerate(zip(self.layers, self._going_on[0], strict=True)):
            leads_on = (ways * self._leaning(place)).any(axis=0)
            rows, choices = np.nonzero(leads_on.take(states, axis=0))
            paths = np.hstack([paths[rows], choices[:, None]])
            states = layer.after[states[rows], choices]
        return paths

    def draw(self, whose: Whole, random: np.random.Generator) -> Whole:
        """A path for each of ``whose``, numbers of players, as the choices of each layer, repeats
        possible: paths by layers.

        The graph has paths of each of these players.
        """
        chances = self._chances(whose, random)
        states = np.zeros(len(whose), dtype=np.int64)
        chosen = np.empty((len(self.layers), len(whose)), dtype=np.int64)
        for place, layer in enumerate(self.layers):
            running = self._running(place, whose * len(layer.after) + states)
            drawn = chances[place] * running[:, -1]
            choices = (running > drawn[:, None]).argmax(axis=1)
            chosen[place] = choices
            states = layer.after.take(states * layer.after.shape[1] + choices)
        return chosen.T

    def _chances(self, whose: Whole, random: np.random.Generator) -> Floats:
        """Random numbers, one for each layer and path; those of one player come together."""
        chances = np.empty((len(self.layers), len(whose)))
        for player in range(self.players):
            theirs = np.flatnonzero(whose == player)
            chances[:, theirs] = random.random((len(self.layers), len(theirs)))
        return chances

    def _running(self, place: int, rows: Whole) -> Floats:
        """What the choices weigh summed up to and with each, for some rows of players and states.

        Worked out for all rows where these are fewer than those asked for.
        """
        ways = self._going_on[0][place]
        table, leaning = ways.reshape(-1, ways.shape[-1]), self._leaning(place)
        if len(rows) < len(table):
            return _summed_up(table.take(rows, axis=0), leaning)
        return _summed_up(table, leaning).take(rows, axis=0)

    def log_weights(self, paths: Whole) -> Floats:
        """The logarithm of each path's product of weights, leanings left out: players by paths.

        ``paths`` by layers; all are paths.
        """
        states = np.zeros(len(paths), dtype=np.int64)
        found = np.empty((len(self.layers), self.players, len(paths)))
        for place, (layer, choices) in enumerate(zip(self.layers, paths.T, strict=True)):
            edges = states * layer.after.shape[1] + choices
            weights = layer.weights.reshape(self.players, -1)
            weights.take(edges, axis=1, out=found[place], mode="clip")
            states = layer.after.take(edges)
        with np.errstate(divide="ignore"):
            return np.asarray(np.log(found, out=found).sum(axis=0))


def _summed_up(ways: Floats, leaning: Floats) -> Floats:
    """Running sums along each row of what each choice weighs: rows by choices."""
    if len(leaning) > _NARROW or ways.size * len(leaning) > _ONE_THREAD:
        return np.asarray((ways * leaning).cumsum(axis=1))
    return np.asarray(ways @ (_triangle(len(leaning)) * leaning[:, None]))


@lru_cache(maxsize=2 * _NARROW)
def _triangle(size: int) -> Floats:
    return np.triu(np.ones((size, size)))


@lru_cache(maxsize=2 * _NARROW)
def _ones(size: int) -> Floats:
    return np.ones(size)
