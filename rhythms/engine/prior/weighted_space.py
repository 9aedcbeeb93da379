"""A fill space with the weights of the prior on its edges."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.fills.fill import Fill, Stroke
from rhythms.engine.kits.surfaces import base, family
from rhythms.engine.prior.human_prior import Prior
from rhythms.engine.prior.phrase_traits import SURFACES, codes_of, runs, traits
from rhythms.engine.prior.played_line import place_in_beat, times_since
from rhythms.engine.prior.rarer_steps import NONE, RarerSteps, places_of
from rhythms.engine.prior.remembering import Remembering, RememberingLayer
from rhythms.engine.prior.strokes_together import share_together
from rhythms.engine.prior.surface_groups import GROUP_OF
from rhythms.engine.space.fill_space import FillSpace
from rhythms.engine.space.weighted_sampling import WeightedGraph, WeightedLayer

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
#: What a foot weighs where one may play, against all that the hands may: the share of the bass
#: drum in the strokes of human fills (14 %).
FOOT = 0.14
#: Where a rule leaves both hands open: what the one weighs that the grid does not have there.
OTHER_HAND = 0.15
_BRIGHT = ("cymbals", "bells")
#: Graphs of so many dials are kept.
_DIALS = 8
#: Of fills drawn step by step one is kept of so many, in proportion to the ratio of phrases.
TRIED = 16


class WeightedSpace:
    """``space`` as the players of ``prior`` would play it.

    With ``tempo``, quarters a minute, without what two strokes in a row make impossible there,
    where they fall by ``feel``.
    """

    def __init__(
        self, space: FillSpace, prior: Prior, tempo: float | None = None, feel: Feel = STRAIGHT
    ) -> None:
        self.space = space
        self.prior = prior
        self.remembering = Remembering(space, tempo, feel)
        self._graphs: dict[float, WeightedGraph] = {}
        onsets = [note.onset for note in space.setting.bar.sounded]
        self._onsets = onsets
        self._moments = list(
            zip(times_since(onsets), (place_in_beat(onset) for onset in onsets), strict=True)
        )

    def graph(self, dial: float) -> WeightedGraph:
        """The graph as each player of the prior weighs it.

        ``dial`` is the power of the weights: 0 for all alike, 1 as drummers play.
        """
        graph = self._graphs.get(dial)
        if graph is None:
            # Notes that are alike share their weights.
            powers = {id(own): own if dial == 1 else own**dial for own in self._weights}
            layers = [
                WeightedLayer(layer.after, powers[id(own)])
                for layer, own in zip(self.remembering.layers, self._weights, strict=True)
            ]
            graph = WeightedGraph(layers, np.ones(self.remembering.ends))
            if len(self._graphs) == _DIALS:
                self._graphs.clear()
            self._graphs[dial] = graph
        return graph

    def leaning(
        self,
        dial: float,
        leanings: Sequence[Floats] | None = None,
        rarer: RarerSteps | None = None,
    ) -> WeightedGraph:
        """The same graph with weights times ``leanings``: for each note and each way to lean one
        above 0 a stroke, in the layer's order. Of ``rarer`` steps each weighs less by its factor,
        as far as the stroke before is remembered.
        """
        graph = self.graph(dial)
        if rarer is not None:
            graph = replace(graph, layers=self._rarer(graph.layers, rarer))
        return replace(graph, leanings=leanings)

    def _rarer(self, layers: Sequence[WeightedLayer], rarer: RarerSteps) -> list[WeightedLayer]:
        return [
            WeightedLayer(layer.after, layer.weights * self._factors(note, rarer))
            for note, layer in enumerate(layers)
        ]

    def _factors(self, note: int, rarer: RarerSteps) -> Floats:
        """What each step weighs less on one note: states by choices."""
        layer, struck = self.remembering.layers[note], self.remembering.struck
        before = np.array([NONE, *places_of(struck)])[self.remembering.last(layer.memory)]
        column = places_of(layer.strokes)
        found = rarer.factors(note)[before[:, None], column]
        found[:, column < 0] = 1.0
        return np.asarray(found)

    def rarity(self, drawn: Whole, rarer: RarerSteps) -> Floats:
        """By how much less than otherwise each fill is drawn for its ``rarer`` steps: the mean
        over its strokes of the factors, as a logarithm, at most 0.
        """
        unweighted = self.graph(0.0)
        graph = replace(unweighted, layers=self._rarer(unweighted.layers, rarer))
        return np.asarray(graph.log_weights(drawn)[0] / max(1, drawn.shape[1]))

    def step_by_step(self, graph: WeightedGraph, n: int, random: np.random.Generator) -> Whole:
        """``n`` fills as choices for each way to lean, one way after the other: fills by notes.

        Each by one player, in proportion to weight.
        """
        whose = np.searchsorted(self._shares_so_far, random.random((graph.leans, n)), side="right")
        return graph.draw(whose, random)

    @cached_property
    def _shares_so_far(self) -> Floats:
        """How often one of the players plays up to and with each."""
        found = np.cumsum(self.prior.shares)
        return np.asarray(found / found[-1])

    def phrased(
        self, graph: WeightedGraph, n: int, dial: float, random: np.random.Generator
    ) -> Whole:
        """``n`` fills, each kept out of ``TRIED`` in proportion to the ratio of phrases.

        The ratio is applied to so many draws, not to the space: what it favours comes more
        often, as often as it should only with more of them (sampling importance resampling,
        Rubin 1987).
        """
        if not dial:
            return self.step_by_step(graph, n, random)
        tried = self.step_by_step(graph, n * TRIED, random)
        ratio = dial * self.log_ratio(tried).reshape(n, TRIED)
        # The greatest of the logarithms plus Gumbel noise is a choice in proportion.
        best = (ratio + random.gumbel(size=ratio.shape)).argmax(axis=1)
        return np.asarray(tried.reshape(n, TRIED, -1)[np.arange(n), best])

    def log_ratio(self, drawn: Whole) -> Floats:
        """How much more often drummers play each fill than step by step, as a logarithm."""
        codes = self._codes(drawn)
        if codes.size and codes.min() >= 0:
            return self.prior.phrase.log(traits(self._onsets, codes))
        ratio = np.empty(len(drawn))
        patterns, which = _told_apart(codes >= 0)
        for place, by_hand in enumerate(patterns):
            rows = np.flatnonzero(which == place)
            onsets = [self._onsets[note] for note in np.flatnonzero(by_hand)]
            ratio[rows] = self.prior.phrase.log(traits(onsets, codes[np.ix_(rows, by_hand)]))
        return ratio

    def surprise(self, drawn: Whole) -> Floats:
        """How rarely drummers would play each fill in this space, in bits a travelling stroke:
        step by step, less the ratio of phrases.

        A stroke travels where more than one surface is open to it.
        """
        chances = self.log_chances(drawn) + self.log_ratio(drawn)
        return np.asarray(-chances / np.log(2) / max(1, self._travels.sum()))

    def overlong(self, drawn: Whole) -> Floats:
        """How many strokes of each fill go on with a run that is longer than is usual there."""
        hands = {surface: self.prior.runs[group] for surface, group in GROUP_OF.items()}
        usual = np.array([hands.get(surface, drawn.shape[1]) for surface in SURFACES])
        codes = self._codes(drawn).T
        too_long = runs(codes.astype(np.int8, order="C")) > usual.take(codes)
        return np.asarray(np.add.reduce(too_long, axis=0, dtype=float))

    def brightness(self, drawn: Whole) -> Floats:
        """The share of each fill's strokes that are on cymbals and bells."""
        bright = np.array([*(family(surface) in _BRIGHT for surface in SURFACES), False])
        return np.asarray(bright[self._codes(drawn)].mean(axis=1))

    def log_chances(self, drawn: Whole) -> Floats:
        """The logarithm of the chance of each fill to be drawn step by step, at dial 1."""
        graph = self.graph(1.0)
        logs = graph.log_weights(drawn) + (np.log(self.prior.shares) - graph.log_totals[0])[:, None]
        return np.asarray(np.logaddexp.reduce(logs, axis=0))

    def paths(self, most: int) -> Whole | None:
        """All fills as choices, in order of their numbers; None where there are more than so many.

        With a tempo, those that two strokes in a row do not make impossible.
        """
        if self.remembering.thinned:
            return None
        # Without weights all paths weigh 1, whoever plays them.
        graph = self.graph(0.0)
        return None if graph.log_totals[0, 0] > np.log(most + 0.5) else graph.paths()

    @property
    def bytes(self) -> int:
        """What the edges and one weighing of them take."""
        layers = {id(layer): layer.after.nbytes for layer in self.remembering.layers}
        weights = {id(own): own.nbytes for own in self._weights}
        return sum(layers.values()) + sum(weights.values())

    @cached_property
    def _travels(self) -> NDArray[np.bool_]:
        """Which notes have more than one surface open to them; all where none has."""
        layers = self.space.graph.layers
        travels = np.array(
            [len({stroke.surface for stroke in layer.strokes}) > 1 for layer in layers], dtype=bool
        )
        return travels if travels.any() else ~travels

    def fills(self, drawn: Whole) -> list[Fill]:
        """The fills of some choices."""
        layers = self.space.graph.layers
        if not layers:
            return [self.space.fill_of(())] * len(drawn)
        by_note = [
            map(layer.strokes.__getitem__, choices)
            for layer, choices in zip(layers, drawn.T.tolist(), strict=True)
        ]
        return [self.space.fill_of(strokes) for strokes in zip(*by_note, strict=True)]

    def choices(self, fills: Sequence[Fill]) -> Whole:
        """The inverse of ``fills``."""
        layers = self.space.graph.layers
        rows = [
            [layer.choice_of[stroke] for layer, stroke in zip(layers, fill.strokes, strict=True)]
            for fill in fills
        ]
        return np.array(rows, dtype=np.int64).reshape(len(fills), len(layers))

    def _codes(self, drawn: Whole) -> Whole:
        """Surfaces as traits number them, feet as -1: fills by notes."""
        return np.asarray(self._code_of[np.arange(drawn.shape[1])[:, None], drawn.T].T)

    @cached_property
    def _code_of(self) -> Whole:
        """The same of each choice: notes by choices, as many as the note with most has."""
        layers = self.space.graph.layers
        codes = np.full((len(layers), max((len(each.strokes) for each in layers), default=0)), -1)
        for row, layer in zip(codes, layers, strict=True):
            by_hand = [place for place, stroke in enumerate(layer.strokes) if not stroke.by_foot]
            row[by_hand] = codes_of([[layer.strokes[place].surface for place in by_hand]])[0]
        return codes

    @cached_property
    def _weights(self) -> list[Floats]:
        """The chance of each stroke at each state, by player: one array a note, shared by notes
        that are alike.
        """
        made: dict[tuple[int, int, int, str], Floats] = {}
        found = []
        for layer, (time, place), hand in zip(
            self.remembering.layers, self._moments, self.space.setting.grid_hands, strict=True
        ):
            key = (id(layer), time, place, hand)
            if key not in made:
                made[key] = self._surface_weights(layer, time, place)
                made[key] *= _shares(layer.strokes, hand)
            found.append(made[key])
        return found

    def _surface_weights(self, layer: RememberingLayer, time: int, place: int) -> Floats:
        """What the surface of each stroke weighs: players by states by choices."""
        kit, remembering = self.space.kit, self.remembering
        hands = kit.hand_surfaces
        places = {surface: at for at, surface in enumerate(hands)}
        # Sticks alone are on none of them, and remembered as nothing.
        known = np.array([0, *(places.get(base(s.surface), -1) + 1 for s in remembering.struck)])
        before = known[remembering.before(layer.memory)] * (len(hands) + 1)
        before += known[remembering.last(layer.memory)]
        # The last place stands for the feet, and for sticks alone.
        column = [places.get(base(stroke.surface), len(hands)) for stroke in layer.strokes]
        found = np.empty((len(self.prior.players), len(before), len(column)))
        for player, weights in zip(self.prior.players, found, strict=True):
            chances = player.table.chances(kit, remembering.depth, time, place)
            by_foot = np.full((*chances.shape[:2], 1), FOOT)
            table = np.concatenate([chances, by_foot], axis=2).reshape(-1, len(hands) + 1)
            weights[:] = table.take(column, axis=1).take(before, axis=0)
        return found


def _told_apart(patterns: NDArray[np.bool_]) -> tuple[NDArray[np.bool_], Whole]:
    """The different rows, and the number of each row among them."""
    if patterns.all():
        return patterns[:1], np.zeros(len(patterns), dtype=np.int64)
    packed = np.packbits(np.ascontiguousarray(patterns), axis=1)
    keys = packed.view(np.dtype((np.void, packed.shape[1]))).ravel()
    _, first, which = np.unique(keys, return_index=True, return_inverse=True)
    return patterns[first], which


def _by_hand(stroke: Stroke, grid_hand: str) -> float:
    """Two hands at once are as the kit stands, not as the grid goes."""
    return 1.0 if stroke.both_hands or stroke.limb in (None, grid_hand) else OTHER_HAND


@lru_cache(maxsize=1024)
def _shares(strokes: tuple[Stroke, ...], grid_hand: str) -> Floats:
    """The share of each stroke in what its drum or cymbal weighs: the hand of the grid before the
    other one, one hand before two at once, touches and ways of striking alike. Feet are as one
    surface.
    """
    by_hand = np.array([_by_hand(stroke, grid_hand) * share_together(stroke) for stroke in strokes])
    kinds = np.array(["foot" if s.by_foot else str(base(s.surface)) for s in strokes])
    shares = np.where(kinds == "foot", 1.0, by_hand)
    return np.asarray(shares / [shares[kinds == kind].sum() for kind in kinds])
