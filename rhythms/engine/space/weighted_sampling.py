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
#: So many edges are weighed as quickly as those of some paths are looked up.
_FEW = 4096


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

    ``leanings`` has for each layer factors at least 0 on its choices, for all players and states:
    one row for each way to lean, alike many in all layers. None leans nowhere.
    """

    layers: Sequence[WeightedLayer]
    ends: Floats
    leanings: Sequence[Floats] | None = None

    @property
    def players(self) -> int:
        """How many weigh the edges."""
        return len(self.layers[0].weights) if self.layers else 1

    @property
    def leans(self) -> int:
        """How many ways to lean there are, leaning nowhere as one."""
        return len(self.leanings[0]) if self.leanings else 1

    @cached_property
    def _sums(self) -> tuple[list[Floats], Floats]:
        """For each layer and behind the last, the weight of all ways to the end, scaled: leanings
        by players by states, the last state standing for none; and the logarithm of the sum of all
        ways, leanings by players.
        """
        shape = (self.leans, self.players)
        ahead = np.zeros((*shape, len(self.ends) + 1))
        ahead[:, :, :-1] = self.ends
        scales, found = [np.ones((*shape, 1))], [ahead]
        room: dict[tuple[int, ...], Floats] = {}
        for place in range(len(self.layers) - 1, -1, -1):
            ways = self._ways(place, ahead, room)
            ahead = np.zeros((*shape, ways.shape[2] + 1))
            np.einsum("lpsc,lc->lps", ways, self._leaning(place), out=ahead[:, :, :-1])
            scale = ahead.max(axis=2, keepdims=True)
            scale[scale == 0] = 1.0
            ahead /= scale
            scales.append(scale)
            found.append(ahead)
        with np.errstate(divide="ignore"):
            totals = np.log(ahead[:, :, 0]) + np.log(scales).sum(axis=(0, 3))
        return found[::-1], totals

    def _ways(
        self, place: int, ahead: Floats, room: dict[tuple[int, ...], Floats] | None = None
    ) -> Floats:
        """What each choice of a layer leads to, without its own leaning: leanings by players by
        states by choices. ``room`` is taken for it where it was left by an alike layer.
        """
        layer, room = self.layers[place], {} if room is None else room
        shape = (*ahead.shape[:2], *layer.after.shape)
        ways = room.setdefault(shape, np.empty(0))
        if not ways.size:
            ways = room[shape] = np.empty(shape)
        # With a mode it is written at once.
        ahead.take(layer.after, axis=2, out=ways, mode="clip")
        ways *= layer.weights
        return ways

    def _leaning(self, place: int) -> Floats:
        if self.leanings is not None:
            return self.leanings[place]
        return _ones(self.layers[place].after.shape[1])

    @property
    def log_totals(self) -> Floats:
        """The logarithm of the weight of all paths together, leanings by players; minus infinity
        without any.
        """
        return self._sums[1]

    def paths(self) -> Whole:
        """All paths of any player, leaning in any way, as the choices of each layer, in order; for
        graphs that have few.
        """
        states, paths = np.zeros(1, dtype=np.int64), np.zeros((1, 0), dtype=np.int64)
        for place, (layer, ahead) in enumerate(zip(self.layers, self._sums[0][1:], strict=True)):
            leaning = self._leaning(place)[:, None, None]
            leads_on = (self._ways(place, ahead) * leaning).any(axis=(0, 1))
            rows, choices = np.nonzero(leads_on.take(states, axis=0))
            paths = np.hstack([paths[rows], choices[:, None]])
            states = layer.after[states[rows], choices]
        return paths

    def draw(self, whose: Whole, random: np.random.Generator) -> Whole:
        """Paths by players, repeats possible, as the choices of each layer: paths by layers.

        ``whose`` has for each way to lean as many numbers of players: leanings by paths. The paths
        of the first leaning come first. The graph has paths of each of these players.
        """
        players = (whose + np.arange(self.leans)[:, None] * self.players).ravel()
        chances = self._chances(players, random)
        states = np.zeros(len(players), dtype=np.int64)
        chosen = np.empty((len(self.layers), len(players)), dtype=np.int64)
        for place, layer in enumerate(self.layers):
            running = self._running(place, players, states)
            drawn = chances[place] * running[:, -1]
            choices = (running > drawn[:, None]).argmax(axis=1)
            chosen[place] = choices
            states = layer.after.take(states * layer.after.shape[1] + choices)
        return chosen.T

    def _chances(self, players: Whole, random: np.random.Generator) -> Floats:
        """Random numbers, one for each layer and path; those of one player come together."""
        chances = np.empty((len(self.layers), len(players)))
        for player in range(self.leans * self.players):
            theirs = np.flatnonzero(players == player)
            chances[:, theirs] = random.random((len(self.layers), len(theirs)))
        return chances

    def _running(self, place: int, players: Whole, states: Whole) -> Floats:
        """What the choices weigh summed up to and with each, for paths of some players, leaning by
        leaning, in some states: paths by choices.

        Worked out for all players and states where these are fewer than the paths, or few.
        """
        layer, ahead = self.layers[place], self._sums[0][place + 1]
        leaning, (size, choices) = self._leaning(place), layer.after.shape
        table_rows = self.leans * self.players * size
        if table_rows <= max(len(players), _FEW // choices):
            table = _summed_up(self._ways(place, ahead).reshape(-1, choices), leaning)
            return np.asarray(table.take(players * size + states, axis=0))
        rows = players % self.players * size + states
        ways = layer.weights.reshape(-1, choices).take(rows, axis=0)
        after = layer.after.take(states, axis=0)
        after += (players * ahead.shape[2])[:, None]
        ways *= ahead.take(after)
        return _summed_up(ways, leaning)

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


def _summed_up(ways: Floats, leanings: Floats) -> Floats:
    """Running sums along each row of what each choice weighs: rows by choices.

    As many rows after each other lean in each of the ways.
    """
    leans, choices = leanings.shape
    by_leaning = ways.reshape(leans, -1, choices)
    if choices > _NARROW:
        return np.asarray((by_leaning * leanings[:, None]).cumsum(axis=2).reshape(ways.shape))
    triangles, found = _triangle(choices) * leanings[:, :, None], np.empty_like(by_leaning)
    some = _ONE_THREAD // choices**2
    for start in range(0, by_leaning.shape[1], some):
        part = slice(start, start + some)
        np.matmul(by_leaning[:, part], triangles, out=found[:, part])
    return np.asarray(found.reshape(ways.shape))


@lru_cache(maxsize=2 * _NARROW)
def _triangle(size: int) -> Floats:
    return np.triu(np.ones((size, size)))


@lru_cache(maxsize=2 * _NARROW)
def _ones(size: int) -> Floats:
    return np.ones((1, size))
